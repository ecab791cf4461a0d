"""The sample's fittings: each planted fault found, no sound record condemned."""

from collections import Counter

import numpy as np
import pytest

from jointmap.assembly import Result
from jointmap.register import Joint
from jointmap.register.codes import Layout
from jointmap.snapshot.site_columns import read_ground
from jointmap.snapshot.fittings import fittings_in, reviewed_now
from jointmap.workflows.opening import open_site
from jointmap.snapshot.snapshot import snapshot_of


@pytest.fixture(scope="module")
def state(demo):
    """The sample site as loaded by the demo."""
    site = open_site(demo / "site")
    with snapshot_of(site.register) as state:
        yield state
    site.register.close()


@pytest.fixture(scope="module")
def fittings(state):
    """Every fitting record with its review, also of what was removed."""
    return fittings_in(state)


@pytest.fixture(scope="module")
def found(state, fittings):
    """Every check of every fitting record, by tag, with the layout."""
    tags = {id_: joint.tag for id_, joint in state.joints.items()}
    pairs = zip(fittings.devices, fittings.records, strict=True)
    return [
        (tags[device.joint_id], device.layout, record, fittings.review.of(row))
        for row, (device, record) in enumerate(pairs)
    ]


def named(found, result):
    return {
        (tag, check.name)
        for tag, _, _, checks in found
        for check in checks
        if check.result is result
    }


def test_the_one_lubricant_with_metal_is_found_and_nothing_else_condemned(found):
    assert len(found) > 90
    assert named(found, Result.DOES_NOT_MEET) == {("IJ-057", "lubricant")}


def test_as_usual_names_no_lubricant(found):
    blank = named(found, Result.NOT_RECORDED)
    assert {tag for tag, name in blank if name == "lubricant"} == {"IJ-059", "IJ-061"}


def test_the_fitters_other_blanks_of_that_day_are_asked_about(fittings):
    told = {(d.serial, o.serial) for d, _, o, _ in fittings.same_day()}
    assert told == {("2711", "2659"), ("2767", "2659")}


def test_the_torque_without_a_unit_is_refused_and_so_not_on_record(found):
    blank = named(found, Result.NOT_RECORDED)
    about_torque = {"torque", "pass_1", "pass_2", "pass_3", "pass_4"}
    assert {(t, n) for t, n in blank if n in about_torque} == {
        ("IJ-049", name) for name in about_torque
    }


def test_both_layouts_are_judged_by_their_own_stack(found):
    layouts = Counter(layout for _, layout, _, _ in found)
    assert layouts[Layout.TWO_SIDE] > 50
    assert layouts[Layout.ONE_SIDE_A] >= 18
    for _, _, _, checks in found:
        names = {c.name: c.result for c in checks}
        assert names["stud_length"] is names["sleeve_length"] is Result.MEETS


def test_materials_outside_the_tables_are_told_so(found):
    outside = named(found, Result.NOT_IN_TABLES)
    assert {name for _, name in outside} == {
        "washer_load",
        "gasket_load",
        "gasket_temperature",
        "sleeve_temperature",
        "washer_temperature",
    }


def test_what_is_fitted_now_is_judged_alike_when_read_as_columns(state, fittings):
    ground = read_ground(state, np.datetime64("2026-05-15"))
    now = ground.joints.device_id.tolist()
    told = enumerate(record.device_id for record in fittings.records)
    expected = {id_: repr(fittings.review.of(row)) for row, id_ in told if id_ in now}
    device_of = dict(zip(ground.joints.joint_id.tolist(), now, strict=True))
    found = {
        device_of[joint]: repr(part.review.of(row))
        for part in reviewed_now(state, ground)
        for row, joint in enumerate(part.joint_id.tolist())
    }
    assert len(found) > 80
    assert found == expected
