"""Joining columns by id and day, against a loop over rows."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from jointmap.register.joining import row_of
from jointmap.snapshot.gather import Latest, is_within, pick

IDS = st.lists(st.integers(1, 50), unique=True, max_size=20)
ASKED = st.lists(st.integers(0, 60), max_size=20)
DAYS = st.one_of(st.none(), st.integers(-40_000, 40_000))
ROWS = st.lists(st.tuples(st.integers(1, 6), DAYS), max_size=25)


def days(values):
    made = [
        np.datetime64("NaT", "D") if v is None else np.datetime64(v, "D")
        for v in values
    ]
    return np.array(made, dtype="datetime64[D]")


@given(IDS, ASKED)
def test_row_of_an_id(ids, asked):
    found = row_of(np.array(ids, np.int64), np.array(asked, np.int64))
    assert found.tolist() == [ids.index(a) if a in ids else -1 for a in asked]


@given(st.lists(st.integers(0, 9), max_size=9), st.data())
def test_pick(values, data):
    rows = data.draw(st.lists(st.integers(-1, len(values) - 1), max_size=12))
    found = pick(np.array(values, np.int64), np.array(rows, np.int64), -7)
    assert found.tolist() == [values[r] if r >= 0 else -7 for r in rows]


@given(
    ROWS,
    st.lists(st.tuples(st.integers(0, 7), st.integers(-40_000, 40_000)), max_size=12),
)
def test_latest_row_up_to_a_day(rows, asked):
    ids = np.array([i for i, _ in rows], np.int64)
    known = days([d for _, d in rows])
    found = Latest.of(ids, known).at(
        np.array([i for i, _ in asked], np.int64),
        days([d for _, d in asked]),
    )
    for (id_, day), row in zip(asked, found.tolist(), strict=True):
        # A row without a day is from the beginning.
        fits = [
            -(10**9) if d is None else d
            for i, d in rows
            if i == id_ and (d is None or d <= day)
        ]
        assert (row >= 0) == bool(fits)
        if row >= 0:
            assert rows[row][0] == id_
            own = rows[row][1]
            assert (-(10**9) if own is None else own) == max(fits)


SPANS = st.lists(
    st.tuples(st.integers(1, 4), st.integers(-30, 30), st.integers(-30, 30)),
    max_size=15,
)


@given(SPANS, st.lists(st.tuples(st.integers(0, 5), st.integers(-35, 35)), max_size=12))
def test_a_day_within_any_span_of_its_id(spans, asked):
    found = is_within(
        np.array([i for i, _, _ in spans], np.int64),
        days([first for _, first, _ in spans]),
        days([last for _, _, last in spans]),
        np.array([i for i, _ in asked], np.int64),
        days([d for _, d in asked]),
    )
    # A span that ends before it begins holds no day.
    assert found.tolist() == [
        any(i == id_ and first <= day <= last for i, first, last in spans)
        for id_, day in asked
    ]
