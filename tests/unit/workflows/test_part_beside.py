"""What a part holds that no record refers to, each by a witness; how a part grows."""

import datetime as dt

import pytest

from jointmap.assessment import judged_part
from jointmap.assessment.judged_part import judged_around
from jointmap.register import (
    Boundary,
    Installation,
    Joint,
    Occurrence,
    ParallelPath,
    Position,
)
from jointmap.register.codes import (
    OccurrenceKind,
    PathKind,
    PathState,
    Purpose,
    Subject,
)
from jointmap.snapshot.parts.part import boundaries_near, part_found, part_of
from jointmap.snapshot.snapshot import snapshot_of
from jointmap.storage import Register
from tests.storage.samples import (
    KEY,
    NOON,
    boundary,
    device,
    fill,
    joint,
    person,
    reading,
    site,
    structure,
)

ON = dt.date(2026, 5, 15)
FITTED = dt.date(2025, 6, 1)


@pytest.fixture
def made(tmp_path):
    """A function that makes a register of two joints on two boundaries, and more."""
    opened = []

    def make(*more):
        register = Register.create(f"sqlite:///{tmp_path}/r.sqlite", "X", KEY)
        opened.append(register)
        pairs = [boundary("B1", 1, 2), boundary("B2", 3, 4)]
        ground = [site(), person("P1"), *map(structure, "abcd"), *pairs]
        joints = [joint("J1", 1), joint("J2", 2), joint("J3", 2)]
        fill(register, *ground, *joints, device(1), device(2), *more)
        return register

    yield make
    for register in opened:
        register.close()


def at(joint_id, north):
    return Position(
        subject=Subject.JOINT, subject_id=joint_id, captured_crs="EPSG:4326",
        latitude_deg=31.4 + north / 110_900, longitude_deg=-41.9, captured_x="1",
        captured_y="2", captured_on=FITTED, method="satellite",
    )  # fmt: skip


def read_at(joint_id, minute):
    instant = NOON - dt.timedelta(days=9) + dt.timedelta(minutes=minute)
    return reading(joint_id, FITTED, 1e6, tested_at=instant, person_id=1)


def fitted(device_id, lubricant):
    return Installation(
        device_id=device_id, installed_on=FITTED, fitter_id=1, lubricant=lubricant
    )


def test_where_a_person_was_a_minute_before(made):
    with snapshot_of(made(read_at(2, 0), read_at(1, 1), read_at(3, 2))) as state:
        assert part_of(state, [1]).state.stored.only[Joint] == {1}
        assert part_found(state, [1]).state.stored.only[Joint] == {1, 2}


def test_what_a_fitter_used_elsewhere_that_day(made):
    with snapshot_of(made(fitted(1, ""), fitted(2, "copper paste"))) as state:
        assert part_of(state, [1]).state.stored.only[Installation] == {1}
        assert part_found(state, [1]).state.stored.only[Installation] == {1, 2}


def test_the_joints_near_to_one_with_their_boundaries(made):
    with snapshot_of(made(at(1, 0.0), at(2, 290.0), at(3, 320.0))) as state:
        found = boundaries_near(state, 1, 300.0)
        assert found == {1, 2}
        # A near one's verdict hangs on all joints of its boundary.
        assert part_found(state, [1], found).state.stored.only[Joint] == {1, 2, 3}
        assert boundaries_near(state, 1, 280.0) == {1}


def test_a_joint_without_a_position_has_none_near(made):
    with snapshot_of(made(at(2, 0.0))) as state:
        assert boundaries_near(state, 1, 300.0) == {1}


def test_what_happened_at_the_joint_of_a_path_of_another_boundary(made):
    path = ParallelPath(
        name="P", boundary_id=1, joint_id=2, kind=PathKind.TUBING, state=PathState.APART
    )
    storm = Occurrence(
        kind=OccurrenceKind.STORM, happened_on=FITTED, place="x", boundary_id=2
    )
    with snapshot_of(made(path, storm)) as state:
        only = part_of(state, [1]).state.stored.only
        assert (only[Joint], only[Occurrence]) == ({1, 2}, {1})


def joined(name, a, b):
    return Boundary(
        name=name, structure_a_id=a, structure_b_id=b, purpose=Purpose.PROTECTION,
        joined_from_on=FITTED, joined_by="owner",
    )  # fmt: skip


CHAIN = [joined("B3", 2, 3), joined("B4", 4, 5), boundary("B5", 5, 6)]


@pytest.mark.parametrize(
    ("asked", "around"),
    [
        ([1], {1, 2, 3}),  # over B3 to c; B2 between c and d keeps apart
        ([4], {2, 4, 5}),
        ([5], {2, 4, 5}),  # over B4 to d
    ],
)
def test_a_part_grows_along_what_is_joined(made, asked, around):
    register = made(structure("e"), structure("f"), *CHAIN)
    with snapshot_of(register) as state:
        found = judged_around(state.on_day(ON), ON, asked)
        assert found.state.stored.only[Boundary] == around


def test_too_many_boundaries_around_are_read_whole(made, monkeypatch):
    monkeypatch.setattr(judged_part, "MOST_AROUND", 2)
    register = made(structure("e"), structure("f"), *CHAIN)
    with snapshot_of(register) as state:
        assert judged_around(state.on_day(ON), ON, [1]) is None
