"""Risk and trend dates of a site, where a failure model is in force."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from jointmap.acceptance import Judgements
from jointmap.intervals import (
    REASONS,
    Candidates,
    HistoryColumns,
    SubjectColumns,
    candidates_at,
)
from jointmap.intervals.failure_model import FailureModel, from_json
from jointmap.intervals.hazard_candidates import Risk, risk_of
from jointmap.intervals.small_classes import own_counts
from jointmap.intervals.trend import (
    DAYS_A_YEAR,
    Lines,
    remaining_years,
    trend_dates,
)
from jointmap.register import Model
from jointmap.register.codes import Basis, Consequence, code_of, word_of
from jointmap.register.columns import Days, Ids, TestColumns
from jointmap.tables import METHODS
from jointmap.wording import say
from jointmap.workflows.columns import Ground
from jointmap.workflows.lives import Lives, read_lives
from jointmap.workflows.trends import Series, read_series


@dataclass(frozen=True, slots=True)
class SiteRisk:
    """What the model in force says of every joint of a site."""

    source: str
    model: FailureModel
    lives: Lives
    risk: Risk
    candidates: Candidates
    trends: Mapping[int, Mapping[str, object]]  # by subject row

    def numbers(self, subject_row: int) -> Mapping[str, object]:
        """Return the numbers of a joint's risk and trend sentences."""
        at = np.flatnonzero(self.lives.subject_row == subject_row)
        if not len(at):
            return {}
        return {**self._of_joint(int(at[0])), **self.trends.get(subject_row, {})}

    def none_for(self, subject_row: int) -> str:
        """Return the id of why the model gives a joint no date; blank if it does."""
        at = np.flatnonzero(self.lives.subject_row == subject_row)
        if not len(at):
            return "due.risk_no_start"
        known = self.lives.columns.consequence[at[0]] >= 0
        return "" if known else "due.risk_no_consequence"

    def _of_joint(self, joint: int) -> dict[str, object]:
        dates, own = self.risk.dates, self.lives.columns
        families = (self.model.device, self.model.place)
        codes = (int(own.device_class[joint]), int(own.place_class[joint]))
        known = [
            f.with_other().take(np.array([c]))
            for f, c in zip(families, codes, strict=True)
        ]
        left_out = own.own_counts[joint]
        by_end = bool(dates.end_on[joint] <= dates.average_on[joint])
        target = dates.end_target if by_end else dates.average_target
        consequence = int(own.consequence[joint])
        return {
            "rate": float(dates.device_rate[joint] + dates.place_rate[joint]),
            "whose": say("due.others" if left_out.any() else "due.class"),
            "failures": max(
                float(sum(k.failures[0] for k in known) - left_out[[0, 2]].sum()), 0.0
            ),
            "exposure": float(known[0].joint_years[0] - left_out[4]),
            "isolating": int(dates.isolating[joint]),
            "target": float(target[joint]),
            "consequence": str(word_of(Consequence, consequence))
            if consequence >= 0
            else "",
            "shape": float(dates.device_shape[joint]),
            "multiplier": float(dates.multiplier[joint]),
            "failed": float(dates.failed_on_day[joint]),
        }


def risk_under(
    record: Model,
    ground: Ground,
    tests: TestColumns,
    judgements: Judgements,
    subjects: SubjectColumns,
    history: HistoryColumns,
) -> SiteRisk:
    """Return the risk of a site under the model that a record puts in force."""
    model = from_json(record.numbers)
    lives = modelled(model, read_lives(ground, tests, subjects, history))
    series = read_series(ground, tests, judgements)
    return site_risk(model_source(record), model, lives, series, subjects, ground.on)


def model_source(record: Model) -> str:
    """Return how a due list names the model it used."""
    return f"failure model {record.name} of {record.from_on}: {record.source}"


def modelled(model: FailureModel, lives: Lives) -> Lives:
    """Return lives whose classes are places in the model's own lists.

    Of small classes with what each joint's own record said of them.
    """
    device = np.array([model.device.code(n) for n in lives.device_names], np.int16)
    place = np.array([model.place.code(n) for n in lives.place_names], np.int16)
    own = lives.columns
    columns = replace(
        own, device_class=device[own.device_class], place_class=place[own.place_class]
    )
    counts = own_counts(model, columns, lives.events)
    return replace(
        lives,
        columns=replace(columns, own_counts=counts),
        device_names=model.device.names,
        place_names=model.place.names,
    )


def site_risk(
    source: str,
    model: FailureModel,
    lives: Lives,
    series: Series,
    subjects: SubjectColumns,
    on: np.datetime64,
) -> SiteRisk:
    """Return risk and trend of the joints in duty under ``model``."""
    risk = risk_of(model, lives.columns, lives.events, lives.subject_row, on)
    falling, trends = _trends(model, series, lives)
    tables = [risk.candidates, falling]
    kept = [t.take(subjects.is_active[t.row]) for t in tables]
    joined = {
        name: np.concatenate([getattr(t, name) for t in kept])
        for name in Candidates.__dataclass_fields__
    }
    return SiteRisk(source, model, lives, risk, Candidates(**joined), trends)


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
        basis=code_of(Basis.TREND),
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
