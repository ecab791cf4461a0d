"""What is there on a day as tables for other programs: one list of values a column.

A column's name ends in its unit, a day's in ``_on``. Texts are shown as on a page.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from jointmap.pages.boundary.page import boundaries_view
from jointmap.pages.findings_shown import shown_findings
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.plain_text import visible
from jointmap.register import FORMS, Column, IsolationTest
from jointmap.register.columns import Floats
from jointmap.reports.finding_groups import by_gravity
from jointmap.reports.views import Finding, TestRow
from jointmap.snapshot.shown_places import ShownPlaces, shown_places
from jointmap.wording import say
from jointmap.workflows.export import joint_columns

Columns = dict[str, list[Any]]
LINE = ("line",)
BOUNDARY = (
    "boundary", "state", "structure_a", "structure_b", "purpose", "joints", "paths",
    "suspects", "last_good_on", "first_bad_on", "because",
)  # fmt: skip
FINDING = (
    "gravity", "kind", "finding", "subject", "on", "because", "next_step", "source",
)  # fmt: skip
# Said by the row as shown, or of no use without the sheet that it came in.
_NOT_OF_A_TEST = ("line_id", "as_written", "correction_reason")
# ``source`` says where a limit is from, in every table.
_RENAMED = {"source_id": "current_source"}
_SHOWN_OF_A_TEST = (
    "reading", "verdict", "because", "limit", "source", "counts", "why_not",
    "person_paper", "instrument_paper", "recorded_on",
)  # fmt: skip


def joint_table(showing: Showing) -> tuple[Columns, ShownPlaces]:
    """Return one row per joint, and where each is drawn."""
    found = showing.assessed
    columns: Columns = {**joint_columns(showing, showing.joints)}
    return columns, shown_places(found.state, found.ground)


def line_table(showing: Showing) -> tuple[Columns, list[Floats]]:
    """Return one row per line, and its course as (points, 2) in degrees."""
    lines = showing.lines.values()
    columns = _columns(LINE, ((line.name,) for line in lines))
    return columns, [line.lon_lat_deg for line in lines]


def boundary_table(showing: Showing) -> Columns:
    """Return one row per boundary, the worst first."""
    rows = (
        (r.name.text, r.state.word, r.structure_a, r.structure_b, r.purpose, r.joints,
         r.paths, r.suspects, r.last_good_on, r.first_bad_on, r.said)
        for r in boundaries_view(showing).rows
    )  # fmt: skip
    return _columns(BOUNDARY, rows)


def finding_table(showing: Showing, tests: ShownTests) -> Columns:
    """Return one row per finding, the gravest first, by subject."""
    every = by_gravity(shown_findings(showing, tests).all)
    rows = (_finding(f) for _, several in every for f in several)
    return _columns(FINDING, rows)


def _finding(f: Finding) -> tuple[object, ...]:
    return (
        say(f"gravity.{f.gravity}"), f.kind, say(f"finding.{f.kind}"), f.subject.text,
        f.on, f.sentence, f.next_step, f.source,
    )  # fmt: skip


def table_of_tests(tests: ShownTests) -> Columns:
    """Return one row per test, the newest first: what was read and what it means."""
    records = tests.records
    order = sorted(records, key=lambda i: (records[i].tested_on, i), reverse=True)
    made = [(c.name, _names(tests.site, c.refers)) for c in _own_of_a_test()]
    rows = (
        (
            *(
                names.get(value, "") if names is not None else value
                for name, names in made
                for value in (getattr(records[i], name),)
            ),
            *_meaning(tests.row(i)),
        )
        for i in order
    )
    return _columns(heading_of_tests(), rows)


def heading_of_tests() -> tuple[str, ...]:
    """Return the names of the columns of ``table_of_tests``."""
    return *map(_heading, _own_of_a_test()), *_SHOWN_OF_A_TEST


def _own_of_a_test() -> list[Column]:
    columns = FORMS[IsolationTest.KIND].columns
    return [c for c in columns if c.name not in _NOT_OF_A_TEST]


def shown(columns: Mapping[str, Sequence[object]]) -> Columns:
    """Return columns whose texts are not made for showing yet."""
    return {name: [*map(_shown, values)] for name, values in columns.items()}


def _heading(column: Column) -> str:
    if column.name in _RENAMED:
        return _RENAMED[column.name]
    return column.label if column.refers else column.name


def _names(showing: Showing, kind: str) -> dict[int | None, str] | None:
    """Return what the records of a kind are called; None for no kind."""
    if not kind:
        return None
    form = FORMS[kind]
    records = showing.state.of_kind(form.record).items()
    return {id_: str(getattr(record, form.key[-1])) for id_, record in records}


def _meaning(row: TestRow) -> tuple[object, ...]:
    return (
        row.reading, row.verdict.word, row.reason, row.limit, row.source, row.counts,
        row.why_not, row.person_paper, row.instrument_paper, row.recorded_on,
    )  # fmt: skip


def _columns(names: Sequence[str], rows: Iterable[Sequence[object]]) -> Columns:
    """Return rows as columns; of no rows the columns are there all the same."""
    found: Columns = {name: [] for name in names}
    for row in rows:
        for name, value in zip(names, row, strict=True):
            found[name].append(_shown(value))
    return found


def _shown(value: object) -> object:
    return visible(str(value)) if isinstance(value, str) else value
