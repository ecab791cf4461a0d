"""Rows to drafts: values read, references still as written, doubts named.

A draft becomes a record when the workflow has resolved its references.
"""

import json
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from functools import lru_cache

from jointmap.errors import Problem, Refused
from jointmap.exchange.cells import (
    Ref,
    check_bound,
    read_cell,
    read_number,
)
from jointmap.exchange.files import Row, SentFile
from jointmap.exchange.sheets import REASON_COLUMN, SHEETS, Sheet
from jointmap.register import FORMS, Column
from jointmap.register.bounds import IMPOSSIBLE, OF_A_TIE
from jointmap.register.codes import KIND_OF_SUBJECT, Subject
from jointmap.register.same_letters import says_nothing
from jointmap.units import read_quantity

WGS84 = "EPSG:4326"
_POSITION = {c.name: c for c in FORMS["position"].columns}
# Headings of joints.csv that tell of its position.
JOINT_PLACE_COLUMNS = {
    "position_method": _POSITION["method"],
    "position_accuracy": _POSITION["accuracy_metre"],
    "position_on": _POSITION["captured_on"],
}


@dataclass(frozen=True, slots=True)
class Draft:
    """One record to be, as one row of a file gave it."""

    kind: str
    sheet: str
    file: str
    line: int
    values: Mapping[str, object]
    reason: str = ""
    held: tuple[Problem, ...] = ()
    # Fields whose column the file does not have: it says nothing about them.
    unsaid: frozenset[str] = frozenset()
    # The file beside the sheet that the row names, if it names one.
    named: str = ""

    @property
    def origin(self) -> str:
        """Where the row stands: file and line."""
        return f"{self.file}:{self.line}"


@dataclass(slots=True)
class Read:
    """What a file gave: drafts, and the rows that were refused."""

    drafts: list[Draft] = field(default_factory=list)
    refused: list[Problem] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Plan:
    """What every row of a sheet is read by; found once for each sheet."""

    columns: Mapping[str, Column]
    names: frozenset[str]
    quantities: frozenset[str]  # labels
    vital: frozenset[str]  # labels without whose value a row cannot stand
    asked: tuple[str, ...]


@lru_cache(maxsize=len(SHEETS))
def _plan(name: str) -> _Plan:
    sheet = SHEETS[name]
    required = sheet.required
    columns = sheet.columns.items()
    return _Plan(
        sheet.columns,
        frozenset(c.name for c in FORMS[sheet.kind].columns),
        frozenset(label for label, c in columns if c.quantity),
        frozenset(label for label, c in columns if _must_be_right(sheet, c)),
        (*(c for c in sheet.columns if c in required), *sheet.extra_required),
    )


def read_drafts(sent: SentFile) -> Read:
    """Return the drafts of a file, and a problem for each row that gave none."""
    read = Read()
    unsaid = (
        _unsaid(sent.sheet.columns, sent.header),
        _unsaid(JOINT_PLACE_COLUMNS, sent.header),
    )
    rows = _tie_points(sent.rows) if sent.sheet.name == "chainages" else sent.rows
    for line, cells in rows:
        try:
            read.drafts.extend(_row(sent, line, cells, unsaid))
        except Refused as refused:
            read.refused += [placed(p, sent.name, line) for p in refused.problems]
    return read


def placed(problem: Problem, file: str, line: int) -> Problem:
    """Return ``problem`` with its file, and the line unless it has one of its own."""
    return replace(problem, file=file, line=problem.line or line)


def _row(
    sent: SentFile,
    line: int,
    cells: Mapping[str, str],
    unsaid: tuple[frozenset[str], frozenset[str]],
) -> Iterator[Draft]:
    sheet = sent.sheet
    values, held = _values(sheet, cells)
    if sheet.name in _SPECIAL:
        values.update(_SPECIAL[sheet.name](cells))
    held = [placed(p, sent.name, line) for p in held]
    reason = cells.get(REASON_COLUMN, "").strip()
    if reason and says_nothing(reason):
        reason = ""
    kind = str(values.pop("kind_of_record", sheet.kind))
    named = cells.get("file", "").strip() if sheet.name == "attachments" else ""
    about = (sent.name, line, values, reason, tuple(held), unsaid[0], named)
    own = Draft(kind, sheet.name, *about)
    yield own
    if sheet.name == "joints" and _captured(cells):
        place = _joint_place(cells)
        yield replace(own, kind="position", values=place, held=(), unsaid=unsaid[1])


def _unsaid(columns: Mapping[str, Column], header: Sequence[str]) -> frozenset[str]:
    absent = [c for label, c in columns.items() if label not in header]
    names = [n for c in absent for n in (c.name, f"{c.label}_bound")]
    return frozenset(names)


def _values(
    sheet: Sheet, cells: Mapping[str, str]
) -> tuple[dict[str, object], list[Problem]]:
    values: dict[str, object] = {}
    held: list[Problem] = []
    plan = _plan(sheet.name)
    wrong = [
        Problem("cell.missing", column=label)
        for label in plan.asked
        if not cells.get(label, "").strip()
    ]
    for label, column in plan.columns.items():
        text = cells.get(label, "").strip()
        if not text:
            continue
        try:
            values.update(_value(column, text, plan.names))
        except Refused as refused:
            found = [replace(p, column=label, value=text) for p in refused.problems]
            firm = refused.problems[0].id == IMPOSSIBLE or label in plan.vital
            (wrong if firm else held).extend(found)
    if wrong:
        raise Refused(wrong)
    if "as_written" in plan.names:
        values["as_written"] = _as_written(plan.quantities, cells)
    return values, held


def _must_be_right(sheet: Sheet, column: Column) -> bool:
    """Whether the row cannot stand without this value."""
    return sheet.whole or not column.quantity or not column.nullable


def _value(column: Column, text: str, names: frozenset[str]) -> dict[str, object]:
    bound_name = f"{column.label}_bound"
    value, bound = read_cell(column, text, bounded=bound_name in names)
    return {column.name: value, bound_name: bound} if bound else {column.name: value}


def _as_written(quantities: frozenset[str], cells: Mapping[str, str]) -> str:
    texts = {
        label: text.strip()
        for label, text in cells.items()
        if label in quantities and text.strip()
    }
    return written_text(texts)


def written_text(texts: Mapping[str, str]) -> str:
    """Return quantities as the sender wrote them, by column, as one text to keep."""
    if not texts:
        return ""
    return json.dumps(texts, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def _captured(cells: Mapping[str, str]) -> dict[str, object]:
    """Return the captured numbers as written, x before y, or nothing."""
    for x, y, crs in (("easting", "northing", ""), ("longitude", "latitude", WGS84)):
        a, b = cells.get(x, "").strip(), cells.get(y, "").strip()
        if a or b:
            system = cells.get("crs", "").strip() or crs
            if not (a and b and system):
                missing = x if not a else y if not b else "crs"
                raise Refused(Problem("position.incomplete", column=missing))
            return {"captured_x": a, "captured_y": b, "captured_crs": system}
    return {}


def _joint_place(cells: Mapping[str, str]) -> dict[str, object]:
    values = _captured(cells)
    values |= {
        "subject": Subject.JOINT,
        "subject_id": Ref("joint", cells["tag"].strip()),
    }
    written = {}
    for label, column in JOINT_PLACE_COLUMNS.items():
        text = cells.get(label, "").strip()
        if text:
            with _said_of(label, text):
                values[column.name] = read_cell(column, text)[0]
            if column.quantity:
                written[column.label] = text
    return values | {"as_written": written_text(written)}


@contextmanager
def _said_of(label: str, text: str) -> Iterator[None]:
    """Give every problem found inside the column and the value it is about."""
    try:
        yield
    except Refused as refused:
        found = [replace(p, column=label, value=text) for p in refused.problems]
        raise Refused(found) from None


def _position(cells: Mapping[str, str]) -> dict[str, object]:
    subject = Subject(cells["subject"].strip().lower())
    captured = _captured(cells)
    if not captured:
        raise Refused(Problem("position.incomplete", column="latitude"))
    kind = KIND_OF_SUBJECT[subject]
    return {**captured, "subject_id": Ref(kind, cells["name"].strip())}


def _installation(cells: Mapping[str, str]) -> dict[str, object]:
    key = f"{cells['joint'].strip()} {cells['device_fitted_on'].strip()}"
    return {"device_id": Ref("device", key)}


def _tie_points(rows: tuple[Row, ...]) -> Iterator[Row]:
    """Gather the rows of one measuring of one line into one row."""
    measurings: dict[tuple[str, str], list[Row]] = {}
    for line, cells in rows:
        key = (cells["line"].strip(), cells["measuring"].strip())
        measurings.setdefault(key, []).append((line, cells))
    for members in measurings.values():
        line, first = members[0]
        points = [[at, dict(cells)] for at, cells in members]
        yield line, {**first, "tie_points": json.dumps(points)}


def _chainage(cells: Mapping[str, str]) -> dict[str, object]:
    points = [_tie_point(line, own) for line, own in json.loads(cells["tie_points"])]
    return {"tie_points": json.dumps(points, separators=(",", ":"))}


def _tie_point(line: int, cells: Mapping[str, str]) -> list[float]:
    try:
        return [
            _tie_number(label, cells) for label in ("post", "longitude", "latitude")
        ]
    except Refused as refused:
        raise Refused([replace(p, line=line) for p in refused.problems]) from None


def _tie_number(label: str, cells: Mapping[str, str]) -> float:
    text = cells[label].strip()
    with _said_of(label, text):
        is_post = label == "post"
        value = (
            read_quantity(text, "distance along a line").value
            if is_post
            else read_number(text)
        )
        check_bound(value, OF_A_TIE[label], "kilometre" if is_post else "")
        return value


def _adopted(cells: Mapping[str, str]) -> dict[str, object]:
    from jointmap.exchange.adopted import adopted

    return adopted(cells)


_SPECIAL = {
    "positions": _position,
    "installations": _installation,
    "chainages": _chainage,
    "adopted": _adopted,
}
