"""A record is whole or refused, with everything that is wrong at once."""

import datetime as dt

import pytest

from jointmap.errors import Refused
from jointmap.register import Boundary, IsolationTest, Joint
from jointmap.register.codes import JointState, Outcome, Purpose, Scope, Stage

TEST = {
    "scope": Scope.STUD,
    "joint_id": 1,
    "stud": 1,
    "tested_on": dt.date(2025, 3, 1),
    "method": "insulation-resistance",
    "stage": Stage.ROUTINE,
    "outcome": Outcome.MEASURED,
    "reading_ohm": 1e6,
}
JOINT = {"tag": "J-1", "boundary_id": 1, "area": "East", "state": JointState.IN_DUTY}


@pytest.mark.parametrize(
    ("kind", "given", "more", "ids"),
    [
        (IsolationTest, TEST, {"joint_id": None}, ["test.no_place"]),
        (IsolationTest, TEST, {"stud": None}, ["test.no_stud"]),
        (IsolationTest, TEST, {"stud": 0}, ["test.no_stud"]),
        (IsolationTest, TEST, {"reading_ohm": -1.0}, ["test.negative"]),
        (IsolationTest, TEST, {"reading_ohm": 0.0}, ["test.zero"]),
        (Joint, JOINT, {"tag": None}, ["record.missing"]),
        (Joint, JOINT, {"state": "in duty?"}, ["record.word"]),
        (
            Boundary,
            {"name": "B-1", "structure_a_id": 1, "purpose": Purpose.PROTECTION},
            {"structure_b_id": 1},
            ["boundary.same_structure"],
        ),
    ],
)
def test_what_is_wrong_is_named(kind, given, more, ids):
    with pytest.raises(Refused) as refused:
        kind(**(given | more))
    assert [p.id for p in refused.value.problems] == ids


def test_what_is_sound_is_made():
    assert IsolationTest(**TEST).reading_ohm == 1e6
    assert Joint(**JOINT).state is JointState.IN_DUTY
