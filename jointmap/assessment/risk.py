"""Risk and trend dates of a site, where a failure model is in force."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from jointmap.acceptance import Judgements
from jointmap.assessment.blocks import Block
from jointmap.assessment.lives import Lives, read_lives
from jointmap.assessment.trends import Series, read_series
from jointmap.hazard.ages import LifeEvents
from jointmap.hazard.candidates import Risk, risk_of
from jointmap.hazard.dates import RiskDates
from jointmap.hazard.failure_model import FailureModel, from_json
from jointmap.hazard.small_classes import own_counts
from jointmap.hazard.trend import (
    DAYS_A_YEAR,
    Lines,
    remaining_years,
    trend_dates,
)
from jointmap.intervals import (
    REASONS,
    Candidates,
    CountingTests,
    SubjectColumns,
    candidates_at,
    stack,
)
from jointmap.register import Model
from jointmap.register.codes import Basis, Consequence
from jointmap.register.columns import Days, Ids, TestColumns
from jointmap.register.told import Told
from jointmap.snapshot.site_columns import Ground
from jointmap.tables import METHODS


@dataclass(frozen=True, slots=True)
class SiteRisk:
    """What the model in force says of every joint of a site."""

    source: str
    model: FailureModel
    lives: Lives
    dates: RiskDates
    trends: Mapping[int, Mapping[str, object]]  # by subject row

    def numbers(self, subject_row: Ids) -> dict[str, list[object]]:
        """Return the numbers of the risk and trend sentences of joints with a life.

        A model gives a date to no others.
        """
        at = self._places(subject_row)
        trends = [self.trends.get(row, {}) for row in subject_row.tolist()]
        falling = {name: [t.get(name) for t in trends] for name in trends[0]}
        return {**self._of_joints(at), **falling}

    def none_for(self, subject_row: int) -> str:
        """Return the id of why the model gives a joint no date; blank if it does."""
        at = int(self._places(np.array([subject_row]))[0])
        if at < 0:
            return "due.risk_no_start"
        known = self.lives.columns.consequence[at] >= 0
        return "" if known else "due.risk_no_consequence"

    def _places(self, subject_row: Ids) -> Ids:
        """Return the lives of subjects; -1 where there is none."""
        rows = np.append(self.lives.subject_row, np.iinfo(np.int64).max)
        at = np.searchsorted(rows, subject_row)
        return np.where(rows[at] == subject_row, at, -1)

    def _of_joints(self, joint: Ids) -> dict[str, list[object]]:
        dates, own = self.dates.take(joint), self.lives.columns.take(joint)
        device = self.model.device.with_other().take(own.device_class)
        place = self.model.place.with_other().take(own.place_class)
        left_out = own.own_counts
        others = Told("due.others"), Told("due.class")
        failures = device.failures + place.failures - left_out[:, 0] - left_out[:, 2]
        by_end = dates.end_on <= dates.average_on
        classes = [*map(str, Consequence), ""]
        found: dict[str, list[object]] = {
            "rate": (dates.device_rate + dates.place_rate).tolist(),
            "whose": [others[not own] for own in np.any(left_out, axis=1).tolist()],
            "failures": np.maximum(failures, 0.0).tolist(),
            "exposure": (device.joint_years - left_out[:, 4]).tolist(),
            "isolating": dates.isolating.tolist(),
            "target": np.where(by_end, dates.end_target, dates.average_target).tolist(),
            "consequence": [classes[code] for code in own.consequence.tolist()],
            "shape": dates.device_shape.tolist(),
            "multiplier": dates.multiplier.tolist(),
            "failed": dates.failed_on_day.tolist(),
        }
        return found


class RiskInForce:
    """The risk under the model that a record puts in force, gathered by blocks."""

    def __init__(self, record: Model, ground: Ground) -> None:
        """Begin with no joint."""
        self.record = record
        self.ground = ground
        self.model = from_json(record.numbers)
        self.parts: list[tuple[Lives, Risk]] = []

    def add(
        self,
        part: Block,
        tests: TestColumns,
        subjects: SubjectColumns,
        counting: CountingTests,
    ) -> None:
        """Reckon the joints of a block; ``subjects`` are its own."""
        plain, events = read_lives(part.ground, tests, subjects, counting)
        lives = modelled(self.model, plain, events)
        on, rows = self.ground.on, lives.subject_row
        risk = risk_of(self.model, lives.columns, events, rows, on)
        self.parts.append(_moved(lives, risk, part.rows.start))

    def whole(
        self, tests: TestColumns, judgements: Judgements, subjects: SubjectColumns
    ) -> tuple[SiteRisk, Candidates]:
        """Return the risk of all joints added, and the dates that follow."""
        series = read_series(self.ground, tests, judgements)
        source = model_source(self.record)
        return site_risk(source, self.model, self.parts, series, subjects)


def _moved(lives: Lives, risk: Risk, start: int) -> tuple[Lives, Risk]:
    moved = replace(
        lives,
        subject_row=lives.subject_row + start,
        joint_row=lives.joint_row + start,
    )
    found = replace(risk.candidates, row=risk.candidates.row + np.int32(start))
    return moved, replace(risk, candidates=found)


def model_source(record: Model) -> str:
    """Return how a due list names the model it used."""
    return f"failure model {record.name} of {record.from_on}: {record.source}"


def modelled(model: FailureModel, lives: Lives, events: LifeEvents) -> Lives:
    """Return lives whose classes are places in the model's own lists.

    Of small classes with what each joint's own record said of them.
    """
    device = np.array([model.device.code(n) for n in lives.device_names], np.int16)
    place = np.array([model.place.code(n) for n in lives.place_names], np.int16)
    own = lives.columns
    columns = replace(
        own, device_class=device[own.device_class], place_class=place[own.place_class]
    )
    counts = own_counts(model, columns, events)
    return replace(
        lives,
        columns=replace(columns, own_counts=counts),
        device_names=model.device.names,
        place_names=model.place.names,
    )


def site_risk(
    source: str,
    model: FailureModel,
    parts: Sequence[tuple[Lives, Risk]],
    series: Series,
    subjects: SubjectColumns,
) -> tuple[SiteRisk, Candidates]:
    """Return what ``model`` says of all joints; risk and trend dates of those in duty.

    ``parts`` are joints one after the other, each with what the model says of them.
    """
    lives = _joined([own for own, _ in parts])
    falling, trends = _trends(model, series, lives)
    tables = [*(risk.candidates for _, risk in parts), falling]
    kept = [t.take(subjects.is_active[t.row]) for t in tables]
    dates = stack([risk.dates for _, risk in parts])
    return SiteRisk(source, model, lives, dates, trends), stack(kept)


def _joined(parts: Sequence[Lives]) -> Lives:
    return replace(
        parts[0],
        columns=stack([p.columns for p in parts]),
        subject_row=np.concatenate([p.subject_row for p in parts]),
        joint_row=np.concatenate([p.joint_row for p in parts]),
    )


def _trends(
    model: FailureModel, series: Series, lives: Lives
) -> tuple[Candidates, dict[int, dict[str, object]]]:
    """Return the earliest trend date of each joint, and its numbers."""
    known = model.spread_by_method
    by_method = np.array([known.get(m.code, np.nan) for m in METHODS])
    lines = series.lines
    spread = by_method[lines.method]
    limit = np.log10(series.limit_ohm)
    due_on = trend_dates(lines, limit, spread)
    least = np.timedelta64(model.least_days, "D")
    due_on = np.maximum(due_on, _last_on(lines) + least)
    at = np.flatnonzero(~np.isnat(due_on))
    at = at[np.lexsort((at, due_on[at], series.joint_row[at]))]
    at = at[np.diff(series.joint_row[at], prepend=-1) != 0]
    row = _subject_rows(lives, series.joint_row[at])
    at, row = at[row >= 0], row[row >= 0]
    years = remaining_years(lines, limit, spread)
    made = candidates_at(
        row,
        due_on[at],
        basis=Basis.TREND.code,
        from_on=_last_on(lines)[at],
        reason=REASONS.index("due.trend"),
    )
    numbers = {
        int(r): {
            "method": METHODS[int(lines.method[s])].label,
            "limit": float(series.limit_ohm[s]),
            "years_left": float(years[s]),
            "readings": int(lines.count[s]),
        }
        for r, s in zip(row.tolist(), at.tolist(), strict=True)
    }
    return made, numbers


def _last_on(lines: Lines) -> Days:
    days = np.rint(lines.last_year * DAYS_A_YEAR)
    return days.astype(np.int64).astype("datetime64[D]")


def _subject_rows(lives: Lives, joint_row: Ids) -> Ids:
    top = int(max(lives.joint_row.max(initial=0), joint_row.max(initial=0)))
    place = np.full(top + 1, -1)
    place[lives.joint_row] = lives.subject_row
    return place[joint_row]
