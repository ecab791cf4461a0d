"""Tests as a page shows them: reading as written, verdict, reason, limit, source."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from jointmap.assessment.reasons_told import not_counted, test_reason
from jointmap.assessment.recorded_tests import RecordedTests, as_written
from jointmap.pages.papers_told import paper_told
from jointmap.pages.showing import Showing, verdict_sign
from jointmap.register import IsolationTest, Limit
from jointmap.register.codes import Outcome, Scope
from jointmap.register.columns import Codes, TestColumns
from jointmap.register.paper_states import SOUND, lets_count, state_of
from jointmap.register.ruling import PAPERED
from jointmap.reports.views import TestRow
from jointmap.snapshot.papers.of_tests import PapersOfTests, papers_of_tests
from jointmap.tables import METHODS
from jointmap.wording import say, say_told
from jointmap.wording.quantities import show

_SOUND = [state.code for state in SOUND]
_METHODS = {m.code: m.label for m in METHODS}
# The SI units of limits, and how each is shown.
_SHOWN_UNITS = {"ohm": "ohm", "V": "volt", "ratio": "percent"}


@dataclass(frozen=True)
class ShownTests(RecordedTests):
    """The tests of a state by what they were made on, and each as a row."""

    site: Showing

    def rows(self, ids: Iterable[int]) -> tuple[TestRow, ...]:
        """Return the tests as rows, the newest first."""
        tests = self.records
        order = sorted(ids, key=lambda i: (tests[i].tested_on, i), reverse=True)
        return tuple(self.row(i) for i in order)

    def row(self, id_: int) -> TestRow:
        """Return one test as a row."""
        test, row = self.records[id_], self.site.test_rows[id_]
        judgements = self.site.assessed.judgements
        tests = self.site.assessed.tests
        recorded_on = self.site.state.local_day(self.entries[id_])
        limit, source = self._limit(int(judgements.limit_id[row]))
        papers = self._both_papers(test, row)
        return TestRow(
            tested_on=test.tested_on,
            method=_METHODS[test.method],
            verdict=verdict_sign(int(judgements.verdict[row])),
            stage=str(test.stage),
            what=what_was_tested(self.site, test),
            who=self.site.person(test.person_id),
            instrument=self._instrument(test.instrument_id),
            person_paper=papers.get("person", ""),
            person_fault=not lets_count(tests.person_paper[row]),
            instrument_paper=papers.get("instrument", ""),
            instrument_fault=not lets_count(tests.instrument_paper[row]),
            papers=say("paper.told", papers) if papers else "",
            papers_sound=not papers
            or all(state_of(code) in _SOUND for _, code in papers_at(tests, row)),
            reading=reading_text(test),
            reason=reason_sentence(self.site, row),
            limit=limit,
            source=source,
            counts=bool(judgements.counts[row]),
            why_not=say_told(not_counted(self.site.assessed, row)),
            recorded_on=recorded_on,
            late_days=(recorded_on - test.tested_on).days,
            origin=test.origin,
        )

    def _both_papers(self, test: IsolationTest, row: int) -> dict[str, str]:
        """Return how both papers stood for a reading; nothing of a visit without."""
        if test.outcome is not Outcome.MEASURED:
            return {}
        tests = self.site.assessed.tests
        return {
            whose: say_told(paper_told(lambda: self._papers, test, whose, code))
            for whose, code in papers_at(tests, row)
        }

    @cached_property
    def _papers(self) -> PapersOfTests:
        return papers_of_tests(self.site.state)

    def _limit(self, limit_id: int) -> tuple[str, str]:
        if not limit_id:
            return "", ""
        return limit_text(self.site.state.limits[limit_id])

    def _instrument(self, id_: int | None) -> str:
        if id_ is None:
            return ""
        return self.site.state.instruments[id_].name


def papers_at(tests: TestColumns, row: int) -> Iterator[tuple[str, Codes]]:
    """Yield whose papers a test has, and how they stand."""
    yield from ((w, getattr(tests, f"{w}_paper")[row]) for w in PAPERED)


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
    return say_told(test_reason(showing.assessed, row))


def what_was_tested(showing: Showing, test: IsolationTest) -> str:
    """Return what a test was made on, such as "stud 5 to side A"."""
    side = say("test.to_side", {"side": test.side}) if test.side else ""
    if test.scope is Scope.STUD:
        return say("test.stud", {"stud": test.stud, "side": side})
    if test.scope is Scope.GASKET_CORE:
        return say("test.core", {"side": side})
    if test.scope is Scope.BOUNDARY and test.boundary_id is not None:
        return _on_boundary(showing, test.boundary_id, test.joint_id)
    if test.scope is Scope.PATH and test.path_id is not None:
        return say("test.path", {"path": showing.paths[test.path_id].name})
    return str(test.scope)


def _on_boundary(showing: Showing, id_: int, joint_id: int | None) -> str:
    facts = {"boundary": showing.boundaries[id_].name}
    if not joint_id:
        return say("test.boundary", facts)
    return say("test.boundary_at", {**facts, "tag": showing.joints[joint_id].tag})


def reading_text(test: IsolationTest) -> str:
    """Return the readings as the sender wrote them."""
    return "; ".join(_part(*part) for part in as_written(test))


def _part(label: str, text: str) -> str:
    if label in ("reading", "remark"):
        return text
    if label == "indication":
        return f"shown: {text}"
    if label == "interrupted_side":
        return f"side {text} interrupted"
    return f"{label.replace('_', ' ')} {text}"
