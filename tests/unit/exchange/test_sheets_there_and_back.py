"""A row of any sheet, read and written again, says the same."""

import csv
import datetime as dt
import io
import json
from enum import StrEnum

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jointmap.exchange import SHEETS, Ref, read_drafts, read_file
from jointmap.register.bounds import Bound
from jointmap.units import accepted, read_quantity
from tests.sizes import examples

PLAIN_SHEETS = [n for n, s in SHEETS.items() if s.suffix == ".csv"]
NAMES = st.text(
    st.characters(exclude_categories=("C", "Z"), exclude_characters="\ufeff"),
    min_size=1,
)
DAYS = st.dates(dt.date(1900, 1, 1), dt.date(2100, 12, 31))
NUMBERS = st.floats(-1e6, 1e6, allow_nan=False).map(lambda v: f"{v:.10g}")
EXTRA = {
    "catalogue": st.just("rules"),
    "name": NAMES,
    "joint": NAMES,
    "device_fitted_on": DAYS.map(str),
    "post": st.floats(0, 900).map(lambda v: f"{v:.3f} km"),
    "latitude": st.floats(-90, 90).map(lambda v: f"{v:.6f}"),
    "longitude": st.floats(-180, 180).map(lambda v: f"{v:.6f}"),
}
OF_TYPE = {
    str: NAMES,
    float: NUMBERS,
    bool: st.sampled_from(["yes", "no"]),
    dt.date: DAYS.map(str),
    dt.datetime: DAYS.map(lambda v: f"{v}T09:30:07Z"),
}

SHOWN = {
    Ref: lambda v: v.key,
    bool: lambda v: "yes" if v else "no",
    dt.datetime: lambda v: v.isoformat().replace("+00:00", "Z"),
    float: lambda v: f"{v:.10g}",
}


def cell_of(column):  # noqa: PLR0911 (a kind of column each)
    """Return what a person may write into a cell of a column."""
    if column.refers:
        return NAMES
    if column.words is not None:
        return st.sampled_from([str(w) for w in column.words])
    if column.quantity:
        units = [u for u in accepted(column.quantity) if u]
        return st.tuples(within(column), st.sampled_from(units)).map(
            lambda drawn: in_unit(*drawn, column.quantity)
        )
    if column.type is int:
        bound = column.bound
        return st.integers(int(bound.least), int(bound.most)).map(str)
    if isinstance(column.bound, Bound):
        return within(column).map(SHOWN[float])
    return OF_TYPE[column.type]


def within(column):
    """Return numbers in SI that somebody can mean in a column."""
    least, most = column.bound.least, column.bound.most
    # Ten digits are written: an end itself may be rounded over.
    middle = (least + most) / 2
    return st.floats(least, most).map(lambda v: middle + (v - middle) * (1 - 1e-6))


def in_unit(value, unit, quantity):
    """Return an SI number as a person writes it in another unit."""
    nought, one = (read_quantity(f"{n} {unit}", quantity).value for n in (0, 1))
    return f"{(value - nought) / (one - nought):.9g} {unit}"


def text_of(value, column, written):
    """Return a value as the sheets show it."""
    if column.label in written:
        return written[column.label]
    return SHOWN.get(type(value), str)(value)


@st.composite
def rows(draw, name):
    sheet = SHEETS[name]
    cells = {}
    for label, column in sheet.columns.items():
        if label in sheet.required or draw(st.booleans()):
            cells[label] = draw(cell_of(column))
    for label in sheet.extra_required:
        cells[label] = draw(EXTRA.get(label, DAYS.map(str)))
    if name == "positions":
        cells |= {k: draw(EXTRA[k]) for k in ("latitude", "longitude")}
    return cells


def as_file(cells):
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerows([cells, cells.values()])
    return out.getvalue().encode()


def read(name, cells):
    return read_drafts(read_file(f"{name}.csv", as_file(cells)))


@pytest.mark.parametrize("name", [n for n in PLAIN_SHEETS if n != "adopted"])
@examples(25)
@given(data=st.data())
def test_cells_come_back_as_written(name, data):
    cells = data.draw(rows(name))
    found = read(name, cells)
    assert found.refused == []
    draft = found.drafts[0]
    assert draft.held == ()
    columns = SHEETS[name].columns
    written = json.loads(str(draft.values.get("as_written") or "{}"))
    back = {
        label: text_of(draft.values[c.name], c, written)
        for label, c in columns.items()
        if c.name in draft.values
    }
    assert back == {k: v for k, v in cells.items() if k in columns}
    again = read(name, {**cells, **back}).drafts[0]
    assert again.values == draft.values


@pytest.mark.parametrize("name", PLAIN_SHEETS)
def test_an_empty_sheet_gives_nothing(name):
    heading = ",".join(SHEETS[name].accepted) + "\n"
    found = read_drafts(read_file(f"{name}_empty.csv", heading.encode()))
    assert (found.drafts, found.refused) == ([], [])


@pytest.mark.parametrize("name", PLAIN_SHEETS)
def test_an_empty_row_of_required_cells_names_each(name):
    sheet = SHEETS[name]
    required = list(sheet.required)
    cells = dict.fromkeys([*required, "correction_reason"], "")
    cells["correction_reason"] = "so that the row is not blank"
    found = read(name, cells)
    assert found.drafts == []
    missing = [p.column for p in found.refused if p.id == "cell.missing"]
    assert set(missing) == set(required)
    assert {(p.file, p.line) for p in found.refused} == {(f"{name}.csv", 2)}


@pytest.mark.parametrize("name", PLAIN_SHEETS)
def test_words_of_a_column_are_taken_in_any_case(name):
    for label, column in SHEETS[name].columns.items():
        for word in column.words or ():
            assert isinstance(word, StrEnum)
            from jointmap.exchange.cells import read_cell

            assert read_cell(column, str(word).upper()) == (word, 0), label
