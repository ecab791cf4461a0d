"""Columns read in parts are the records, however the ids are cut and filled."""

import datetime as dt

import numpy as np
import pytest

from jointmap.register import IsolationTest
from jointmap.register.codes import Indication, Outcome, Scope, Side, Stage
from jointmap.storage import Register
from jointmap.storage.as_columns import arrays
from jointmap.storage.as_columns.arrays import Joined, read_arrays, read_parts
from jointmap.tables import METHOD_CODES
from tests.storage.samples import KEY, NOON, fill, site, unasked

FIELDS = [
    "scope", "tested_on", "method", "outcome", "side", "stud", "reading_ohm",
    "reading_bound", "indication", "a_on_volt", "cycles", "sources_cycling",
    "electrode", "hangs_free", "boundary_id", "interrupted_side",
]  # fmt: skip
LISTS = {"method": list(METHOD_CODES), "electrode": [""]}


def _test(n):
    """A test that fills other columns than its neighbours."""
    own = {
        "scope": Scope.STUD if n % 5 == 1 else Scope.BOUNDARY,
        "tested_on": dt.date(2020, 1, 1) + dt.timedelta(days=n * 37 % 900),
        "method": list(METHOD_CODES)[n % len(METHOD_CODES)],
        "stage": Stage.ROUTINE,
        "outcome": list(Outcome)[n % 3],
        "boundary_id": 1,
    }
    if n % 5 == 1:
        own |= {"joint_id": 1, "boundary_id": None, "stud": n, "side": Side.B}
    if n % 7 == 2:
        own |= {"reading_ohm": n + 0.5, "reading_bound": 1, "electrode": "copper"}
    if n % 11 == 3:
        own |= {"a_on_volt": -0.5, "cycles": 4, "sources_cycling": f"R{n % 2}"}
    if n % 2:
        own |= {"indication": Indication.NO_SHORT, "hangs_free": True}
    return IsolationTest(**own)


@pytest.fixture
def register(url):
    """Sixty tests, every tenth of them corrected later."""
    made = Register.create(url, "X", KEY)
    with unasked(made, NOON, "P1", "first") as job:
        ids = [job.add(_test(n)) for n in range(60)]
    with unasked(made, NOON, "P1", "later") as job:
        for n in ids[::10]:
            job.revise(n, _test(n + 60))
    yield made
    made.close()


def _equal(found, expected):
    assert list(found) == list(expected)
    for name, values in expected.items():
        assert found[name].dtype == values.dtype
        np.testing.assert_array_equal(found[name], values, err_msg=name)


@pytest.mark.parametrize("size", [1, 7, 59, 60, 500])
@pytest.mark.parametrize("every", [False, True])
def test_parts_joined_are_the_whole(register, monkeypatch, size, every):
    with register.read() as state:
        whole = read_arrays(state, IsolationTest, FIELDS, LISTS, every_revision=every)
        monkeypatch.setattr(arrays, "PART", size)
        found = read_arrays(state, IsolationTest, FIELDS, LISTS, every_revision=every)
        parts = list(read_parts(state, IsolationTest, FIELDS, LISTS))
    _equal(found, whole)
    assert len(whole["id"]) == (66 if every else 60)
    assert len(parts) == -(-60 // size)
    assert len(parts[0]["id"]) == min(size, 60)


def test_arrays_are_the_records(register, monkeypatch):
    monkeypatch.setattr(arrays, "PART", 25)
    with register.read() as state:
        found = read_arrays(state, IsolationTest, FIELDS, LISTS)
        records = state.records(IsolationTest)
    assert found["id"].tolist() == sorted(records)
    for row, id_ in enumerate(found["id"].tolist()):
        own = records[id_]
        assert found["tested_on"][row] == np.datetime64(own.tested_on)
        assert found["method"][row] == LISTS["method"].index(own.method)
        assert found["scope"][row] == list(Scope).index(own.scope)
        assert found["stud"][row] == (own.stud or 0)
        assert found["boundary_id"][row] == (own.boundary_id or 0)
        assert found["hangs_free"][row] == bool(own.hangs_free)
        assert found["side"][row] == (-1 if own.side is None else 1)
        assert (found["electrode"][row] == 0) == (own.electrode == "")
        assert found["sources_cycling"][row] == own.sources_cycling
        for name in ("reading_ohm", "a_on_volt"):
            value = getattr(own, name)
            np.testing.assert_equal(
                found[name][row], np.nan if value is None else value
            )


def test_nothing_on_record_is_one_empty_part(url):
    made = Register.create(url, "X", KEY)
    fill(made, site())
    with made.read() as state:
        (part,) = read_parts(state, IsolationTest, FIELDS, LISTS)
    assert {len(values) for values in part.values()} == {0}
    made.close()


def test_joined_grows_past_what_was_foretold_and_widens():
    joined = Joined(3)
    for part in ([1, 2], [3, 4], [2**40]):
        wide = np.int64 if max(part) > 9 else np.int32
        joined.add({"id": np.array(part, wide)})
    assert joined.whole()["id"].tolist() == [1, 2, 3, 4, 2**40]
