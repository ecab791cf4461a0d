"""The block of columns inside the page says what the joints say."""

import base64
import dataclasses
import datetime as dt
import runpy
import zlib

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jointmap.site_map.columns_text import NOTHING, pack
from jointmap.site_map.data import MapData, MapJoints, MapLine, bounds_of

ON = dt.date(2026, 5, 15)


@pytest.fixture(scope="module")
def sample(root):
    return runpy.run_path(str(root / "tests" / "map_samples.py"))["sample_map"]


def numbers(part):
    planes = np.frombuffer(part, np.uint8).reshape(4, -1).astype(np.uint32)
    return (planes << np.array([[0], [8], [16], [24]], np.uint32)).sum(
        axis=0, dtype=np.uint32
    ).view(np.int32)  # fmt: skip


READERS = {
    "codes": lambda part: np.frombuffer(part, np.uint8),
    "numbers": numbers,
    "steps": lambda part: np.cumsum(numbers(part), dtype=np.int32),
    "floats": lambda part: numbers(part).view(np.float32),
    "lines": lambda part: part.decode().split("\n"),
}


def unpacked(packed):
    block = base64.b64decode(packed.text)
    if packed.is_packed:
        block = zlib.decompress(block)
    found, at = {}, 0
    for name, form, length in packed.parts:
        found[name] = READERS[form](block[at : at + length])
        at += length
    assert at == len(block)
    return found


@pytest.mark.parametrize("plain", [False, True])
def test_decoded_equals_source(sample, plain):
    joints = sample(118).joints
    found = unpacked(pack(joints, ON, plain=plain))
    for name in ("latitude", "longitude"):
        source = getattr(joints, f"{name}_deg")
        placed = np.isfinite(source)
        assert np.abs(found[name][placed] / 1e7 - source[placed]).max() <= 0.51e-7
        assert (found[name][~placed] == NOTHING).all()
    for name, column in (("due", joints.due_on), ("last", joints.last_on)):
        known = ~np.isnat(column)
        days = np.datetime64(ON) + found[name][known].astype("timedelta64[D]")
        assert (days == column[known]).all()
        assert (found[name][~known] == NOTHING).all()
    assert (found["verdict"] == joints.verdict).all()
    assert (found["dueState"] == joints.due_state).all()
    assert (found["flags"] & 1 == joints.is_suspect).all()
    assert (found["flags"] >> 1 == joints.position_in_doubt).all()
    for name in ("boundary", "area", "kind"):
        assert (found[name] == getattr(joints, name)).all()
    known = np.isfinite(joints.accuracy_metre)
    assert np.allclose(found["accuracy"][known], joints.accuracy_metre[known], 1e-7)
    assert np.isnan(found["accuracy"][~known]).all()
    for name in ("tag", "alias", "where", "because"):
        assert found[name] == list(getattr(joints, name))
    assert found["dossier"][0] == "="
    assert found["dossier"][20] == "IJ-021.html"


def some_joints(count, **changed):
    flags = np.zeros(count, bool)
    codes = np.zeros(count, np.int16)
    days = np.full(count, "NaT", "datetime64[D]")
    columns = {
        "tag": ["T"] * count,
        "latitude_deg": np.zeros(count),
        "longitude_deg": np.zeros(count),
        "accuracy_metre": np.zeros(count),
        "verdict": codes,
        "due_state": codes,
        "boundary": codes - 1,
        "area": codes - 1,
        "kind": codes - 1,
        "due_on": days,
        "last_on": days,
        "is_suspect": flags,
        "position_in_doubt": flags,
        "alias": [""] * count,
        "dossier": [""] * count,
    }
    return MapJoints(**{**columns, **changed})


degrees = st.lists(st.floats(-180, 180) | st.just(np.nan), min_size=1, max_size=40)


@given(degrees)
def test_differences_never_overflow(values):
    source = np.array(values)
    found = unpacked(pack(some_joints(len(values), longitude_deg=source), ON))
    placed = np.isfinite(source)
    assert (found["longitude"][placed] == np.rint(source[placed] * 1e7)).all()
    assert (found["longitude"][~placed] == NOTHING).all()


@given(st.lists(st.text(), min_size=1, max_size=9))
def test_a_name_never_becomes_two(names):
    names = [n.encode("utf-8", "ignore").decode() for n in names]
    found = unpacked(pack(some_joints(len(names), tag=names), ON))
    assert len(found["tag"]) == len(names)


def test_line_break_in_a_name_is_shown():
    found = unpacked(pack(some_joints(2, tag=["a\nb", "c"]), ON))
    assert found["tag"] == ["a<U+000A>b", "c"]


def test_no_joints():
    assert unpacked(pack(some_joints(0), ON))["verdict"].size == 0


def test_unequal_columns_are_refused():
    with pytest.raises(ValueError, match="alias: 1 values for 2 joints"):
        some_joints(2, alias=["x"])
    with pytest.raises(ValueError, match="where: 1 values for 2 joints"):
        some_joints(2, where=["x"])


def site(joints, lines=()):
    return MapData("S", ON, "2026-05-15", "f", "v", joints, lines=lines)


def test_bounds_leave_out_a_position_in_doubt(sample):
    (south, west), (north, east) = bounds_of(sample(118))
    assert 31 < south < north < 32
    assert -43 < west < east < -41


def test_bounds_of_little():
    alone = some_joints(1, position_in_doubt=np.array([True]))
    nowhere = some_joints(1, latitude_deg=np.array([np.nan]))
    assert bounds_of(site(alone)) == [[0, 0], [0, 0]]
    assert bounds_of(site(nowhere)) == [[-60, -180], [60, 180]]
    line = MapLine("L", np.array([(1.0, 2.0), (3.0, 5.0)]))
    assert bounds_of(site(nowhere, (line,))) == [[2, 1], [5, 3]]


def test_records_are_frozen(sample):
    with pytest.raises(dataclasses.FrozenInstanceError):
        sample(1).site = "x"
