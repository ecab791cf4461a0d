"""Tests as a page shows them: reading as written, verdict, reason, limit, source."""

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from jointmap.acceptance import REASONS
from jointmap.pages.showing import Showing, local_day, verdict_sign
from jointmap.register import Instrument, IsolationTest, Limit
from jointmap.register.codes import Outcome, Scope
from jointmap.reports.views import TestRow
from jointmap.tables import METHODS
from jointmap.wording import say
from jointmap.wording.quantities import show

_METHODS = {m.code: m.label for m in METHODS}
# The SI units of limits, and how each is shown.
_SHOWN_UNITS = {"ohm": "ohm", "V": "volt", "ratio": "percent"}
# In the order a person reads them; the label is the column's heading in the sheet.
_READINGS = (
    "reading", "a_on", "a_off", "b_on", "b_off", "test_current", "span_current", "ac_a",
    "ac_b", "ac_between",
)  # fmt: skip


@dataclass(frozen=True)
class ShownTests:
    """The tests of a state by what they were made on, and each as a row."""

    showing: Showing
    # Of one joint and its boundary only: a single dossier needs no others.
    joint_id: int | None = None
    # And these tests, wherever they were read.
    also: tuple[int, ...] = ()

    @cached_property
    def records(self) -> Mapping[int, IsolationTest]:
        """The tests made up to the day asked about, by id."""
        state = self.showing.assessed.state
        if self.joint_id is None:
            known = state.records(IsolationTest)
        else:
            parts = (state.records_with(IsolationTest, w) for w in self._wanted)
            known = {id_: test for part in parts for id_, test in part.items()}
        rows = self.showing.test_rows
        return {id_: test for id_, test in known.items() if id_ in rows}

    @cached_property
    def entries(self) -> Mapping[int, int]:
        """The entry in which each test first came in."""
        state = self.showing.assessed.state
        if self.joint_id is None:
            return state.first_entries(IsolationTest)
        parts = (state.first_entries(IsolationTest, w) for w in self._wanted)
        return {id_: entry for part in parts for id_, entry in part.items()}

    @property
    def _wanted(self) -> list[Mapping[str, int]]:
        """What the tests of one joint have, any of it; then each of the others."""
        id_ = self.joint_id or 0
        own = {"joint_id": id_, "boundary_id": self.showing.joints[id_].boundary_id}
        return [own, *({"id": other} for other in self.also)]

    @cached_property
    def of_joint(self) -> Mapping[int, list[int]]:
        """Tests that name a joint, by joint."""
        return _grouped((t.joint_id, id_) for id_, t in self.records.items())

    @cached_property
    def of_boundary(self) -> Mapping[int, list[int]]:
        """Tests made on a boundary as a whole, by boundary."""
        return _grouped((t.boundary_id, id_) for id_, t in self.records.items())

    def rows(self, ids: Iterable[int]) -> tuple[TestRow, ...]:
        """Return the tests as rows, the newest first."""
        tests = self.records
        order = sorted(ids, key=lambda i: (tests[i].tested_on, i), reverse=True)
        return tuple(self.row(i) for i in order)

    def row(self, id_: int) -> TestRow:
        """Return one test as a row."""
        test, row = self.records[id_], self.showing.test_rows[id_]
        judgements = self.showing.assessed.judgements
        tests = self.showing.assessed.tests
        recorded_on = local_day(self.showing, self.entries[id_])
        limit, source = self._limit(int(judgements.limit_id[row]))
        valid = int(tests.instrument_valid[row])
        return TestRow(
            tested_on=test.tested_on,
            method=_METHODS[test.method],
            verdict=verdict_sign(int(judgements.verdict[row])),
            stage=str(test.stage),
            what=what_was_tested(self.showing, test),
            who=self.showing.person(test.person_id),
            instrument=self._instrument(test.instrument_id),
            in_date={1: "yes", 0: "no"}.get(valid, "") if test.instrument_id else "",
            in_date_fault=valid == 0,
            reading=reading_text(test),
            reason=reason_sentence(self.showing, row),
            limit=limit,
            source=source,
            counts=bool(judgements.counts[row]),
            why_not="" if judgements.counts[row] else _why_not(test, valid),
            recorded_on=recorded_on,
            late_days=(recorded_on - test.tested_on).days,
            origin=test.origin,
        )

    def _limit(self, limit_id: int) -> tuple[str, str]:
        if not limit_id:
            return "", ""
        return limit_text(self.showing.assessed.state.records(Limit)[limit_id])

    def _instrument(self, id_: int | None) -> str:
        if id_ is None:
            return ""
        return self.showing.assessed.state.records(Instrument)[id_].name


def _grouped(pairs: Iterable[tuple[int | None, int]]) -> dict[int, list[int]]:
    found: dict[int, list[int]] = {}
    for place, id_ in pairs:
        if place is not None:
            found.setdefault(place, []).append(id_)
    return found


def limit_value(limit: Limit) -> str:
    """Return a limit's number as an engineer writes it."""
    return show(limit.value, _SHOWN_UNITS[limit.unit])


def limit_text(limit: Limit) -> tuple[str, str]:
    """Return a limit as text, and its source with clause, edition and mark."""
    value = f"{limit.role} {limit_value(limit)}"
    parts = [p for p in (limit.source, limit.clause, limit.edition) if p]
    return value, f"{', '.join(parts)} ({limit.mark})"


def reason_sentence(showing: Showing, row: int) -> str:
    """Return why a test's verdict is what it is."""
    found = showing.assessed.judgements
    values: dict[str, object] = {}
    for name in ("compared", "against"):
        number = float(getattr(found, name)[row])
        if not np.isnan(number):
            values[name] = number
    outcome = int(showing.assessed.tests.outcome[row])
    values["outcome"] = str(list(Outcome)[outcome])
    return say(REASONS[int(found.reason[row])], values)


def _why_not(test: IsolationTest, instrument_valid: int) -> str:
    if test.outcome is not Outcome.MEASURED:
        return say("test.not_counted.visit", {"outcome": str(test.outcome)})
    if instrument_valid == 0:
        return say("test.not_counted.instrument")
    return say("test.not_counted.method")


def what_was_tested(showing: Showing, test: IsolationTest) -> str:
    """Return what a test was made on, such as "stud 5 to side A"."""
    side = f" to side {test.side}" if test.side else ""
    if test.scope is Scope.STUD:
        return f"stud {test.stud}{side}"
    if test.scope is Scope.GASKET_CORE:
        return f"gasket core{side}"
    if test.scope is Scope.BOUNDARY and test.boundary_id is not None:
        name = showing.boundaries[test.boundary_id].name
        at = f", read at {showing.joints[test.joint_id].tag}" if test.joint_id else ""
        return f"boundary {name}{at}"
    if test.scope is Scope.PATH and test.path_id is not None:
        return f"parallel path {showing.paths[test.path_id].name}"
    return str(test.scope)


def reading_text(test: IsolationTest) -> str:
    """Return the readings as the sender wrote them."""
    return "; ".join(_reading_parts(test))


def _reading_parts(test: IsolationTest) -> Iterator[str]:
    written: Mapping[str, str] = json.loads(test.as_written or "{}")
    for label in _READINGS:
        if label in written:
            text = written[label]
            yield text if label == "reading" else f"{label.replace('_', ' ')} {text}"
    if test.indication:
        yield f"shown: {test.indication}"
    if test.interrupted_side:
        yield f"side {test.interrupted_side} interrupted"
    if test.remark:
        yield test.remark
