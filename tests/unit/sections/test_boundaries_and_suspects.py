"""States of boundaries, who is suspect, and what a joint may then be called."""

import numpy as np
import pytest

from jointmap.register.codes import (
    JointState,
    PathKind,
    PathState,
    Scope,
    Stage,
    Verdict,
)
from jointmap.sections import (
    BOUNDARY_REASONS,
    JOINT_REASONS,
    SUSPECT_REASONS,
    boundary_states,
    evidence,
    joint_states,
    suspects,
)
from jointmap.sections import test_groups as groups_of
from jointmap.wording import say
from tests.judging_samples import (
    ON,
    boundaries_of,
    joints_of,
    judged,
    paths_of,
    readings,
)

GOOD, HALF, BAD, OPEN = (
    Verdict.ISOLATING,
    Verdict.DOUBTFUL,
    Verdict.SHORTED,
    Verdict.INCONCLUSIVE,
)
SHIFT, RF, LOOK = "potential-shift", "radio-frequency", "look"
NEAR = [0.0, 10.0, 20.0]


class Told:
    """A site after some tests, told: state of boundary 1, suspects, joints."""

    def __init__(self, rows, joints=None, paths=None, boundaries=None):
        """Take rows of (day, method, place, verdict) and further columns."""
        self.joints = joints_of(3, x_metre=NEAR) if joints is None else joints
        paths = paths_of() if paths is None else paths
        bounds = boundaries_of() if boundaries is None else boundaries
        tests = readings(
            len(rows),
            tested_on=[row[0] for row in rows],
            method=[row[1] for row in rows],
            joint_id=[0 if row[1] == LOOK else row[2] for row in rows],
            path_id=[row[2] if row[1] == LOOK else 0 for row in rows],
            scope=[Scope.PATH if row[1] == LOOK else Scope.JOINT for row in rows],
            stage=[row[4] if len(row) > 4 else Stage.ROUTINE for row in rows],
        )
        words = judged([row[3] for row in rows], [row[1] == RF for row in rows])
        seen = evidence(self.joints, tests, words, groups_of(self.joints, 50.0), 50.0)
        site = (bounds, self.joints, paths, tests, words, ON)
        self.states = boundary_states(*site, seen=seen)
        self.suspects = suspects(*site, seen=seen)
        self.each = joint_states(
            self.joints, tests, seen, self.states, self.suspects, ON
        )
        # The default reach is this site's own.
        assert boundary_states(*site).state.tolist() == self.states.state.tolist()
        assert len(suspects(*site)) == len(self.suspects)

    @property
    def state(self):
        """Verdict and reason of boundary 1."""
        verdict = Verdict.at(self.states.state[0])
        reason = BOUNDARY_REASONS[self.states.reason[0]]
        assert "not given" not in say(reason, {"count": 1})
        return verdict, reason.removeprefix("boundary_state.")

    def who(self, boundary=1):
        """Reason of each suspect of a boundary: joints by number, paths as p1."""
        found = self.suspects.take(self.suspects.boundary_id == boundary)
        names = [
            f"p{p}" if p else j
            for j, p in zip(found.joint_id, found.path_id, strict=True)
        ]
        reasons = [SUSPECT_REASONS[r].removeprefix("suspect.") for r in found.reason]
        return dict(zip(names, reasons, strict=True))

    @property
    def joint(self):
        """Verdict and reason of each joint."""
        verdicts = [Verdict.at(v) for v in self.each.verdict]
        reasons = [
            JOINT_REASONS[r].removeprefix("joint_state.") for r in self.each.reason
        ]
        return list(zip(verdicts, reasons, strict=True))


def test_a_good_reading_clears_the_whole_station():
    told = Told([("2026-01-01", SHIFT, 1, GOOD)])
    assert told.state == (GOOD, "isolating")
    assert told.joint == [
        (GOOD, "boundary_test"),
        (GOOD, "credited"),
        (GOOD, "credited"),
    ]
    assert told.each.credited.tolist() == [False, True, True]
    assert told.each.test_row.tolist() == [0, 0, 0]
    assert str(told.states.last_good_on[0]) == "2026-01-01"
    assert told.who() == {}


def test_one_bad_reading_makes_suspects_and_condemns_none():
    told = Told([("2025-01-01", SHIFT, 1, GOOD), ("2026-01-01", SHIFT, 2, BAD)])
    assert told.state == (BAD, "shorted")
    assert told.who() == {1: "open", 2: "open", 3: "open"}
    assert told.joint == [(OPEN, "suspect")] * 3
    assert told.each.suspects.tolist() == [3, 3, 3]
    assert told.each.is_suspect.all()
    assert str(told.states.first_bad_on[0]) == "2026-01-01"
    assert told.each.last_good_on.tolist() == told.states.last_good_on.tolist() * 3
    assert told.each.test_row.tolist() == [1, 1, 1]


def test_the_first_bad_day_is_the_first_after_the_last_good():
    days = [
        ("2023-01-01", BAD),
        ("2024-01-01", GOOD),
        ("2025-01-01", BAD),
        ("2026-01-01", BAD),
    ]
    told = Told([(day, SHIFT, 1, verdict) for day, verdict in days])
    assert str(told.states.first_bad_on[0]) == "2025-01-01"
    assert str(told.states.last_good_on[0]) == "2024-01-01"


def test_a_device_found_good_since_is_ruled_out():
    told = Told(
        [
            ("2026-01-01", SHIFT, 1, BAD),
            ("2026-01-01", RF, 1, GOOD),
            ("2025-12-31", RF, 2, GOOD),
        ]
    )
    assert told.who() == {1: "device_good", 2: "open", 3: "open"}
    assert told.joint == [(GOOD, "device_test"), (OPEN, "suspect"), (OPEN, "suspect")]
    assert told.states.suspects.tolist() == [2]


def test_a_device_found_shorted_is_the_cause():
    told = Told([("2026-01-01", SHIFT, 1, BAD), ("2026-01-02", RF, 2, BAD)])
    assert told.state == (BAD, "cause_found")
    assert told.who() == {
        1: "cause_elsewhere",
        2: "device_shorted",
        3: "cause_elsewhere",
    }
    assert told.joint[1] == (BAD, "device_test")
    assert told.joint[0] == (OPEN, "cause_elsewhere")
    assert told.states.suspects.tolist() == [1]
    assert told.each.is_suspect.tolist() == [False] * 3


def test_a_device_short_alone_shorts_its_boundary():
    told = Told([("2026-01-02", RF, 2, BAD)])
    assert told.state == (BAD, "cause_found")
    assert told.states.test_row.tolist() == [0]
    assert str(told.states.first_bad_on[0]) == "2026-01-02"


def test_a_good_boundary_reading_after_it_clears_a_shorted_device():
    found, left = Stage.AS_FOUND, Stage.AS_LEFT
    rows = [("2026-01-02", RF, 2, BAD, found), ("2026-01-02", SHIFT, 2, GOOD, left)]
    for order in (rows, rows[::-1]):
        told = Told(order)
        assert told.state == (GOOD, "isolating")
        assert told.joint[1] == (GOOD, "boundary_test")


def test_a_far_place_is_neither_cleared_nor_forgotten():
    joints = joints_of(2, x_metre=[0.0, 23000.0])
    assert Told([("2026-01-01", SHIFT, 1, GOOD)], joints).state == (
        OPEN,
        "part_not_tested",
    )
    bad_then_good = [("2026-01-01", SHIFT, 1, BAD), ("2026-01-02", SHIFT, 2, GOOD)]
    told = Told(bad_then_good, joints)
    assert told.state == (BAD, "shorted")
    assert told.who() == {1: "open", 2: "boundary_good_here"}
    both = Told([*bad_then_good, ("2026-01-03", SHIFT, 1, GOOD)], joints)
    assert both.state == (GOOD, "isolating")
    # The place that was read longest ago speaks.
    assert str(both.states.last_good_on[0]) == "2026-01-02"


def test_doubtful_and_undecided():
    assert Told([("2026-01-01", SHIFT, 1, HALF)]).state == (HALF, "doubtful")
    told = Told([("2026-01-01", SHIFT, 1, OPEN)])
    assert told.state == (OPEN, "not_decided")
    assert told.joint[0] == (OPEN, "not_decided")
    assert told.joint[1] == (Verdict.NOT_TESTED, "not_tested")
    told = Told([("2026-01-01", SHIFT, 1, Verdict.NOT_TESTED)])
    assert told.state == (Verdict.NOT_TESTED, "not_tested")
    assert told.each.test_row.tolist() == [0, -1, -1]


def test_an_undecided_reading_does_not_undo_a_good_one():
    told = Told([("2025-01-01", SHIFT, 1, GOOD), ("2026-01-01", SHIFT, 1, OPEN)])
    assert told.state == (GOOD, "isolating")
    assert told.joint[0] == (GOOD, "boundary_test")


def test_every_device_good_and_no_boundary_test():
    rows = [("2026-01-01", RF, joint, GOOD) for joint in (1, 2, 3)]
    assert Told(rows).state == (GOOD, "devices_good")
    path = paths_of(1, state=PathState.NOT_KNOWN)
    assert Told(rows, paths=path).state == (OPEN, "paths_not_known")
    half = [*rows[:2], ("2026-01-01", RF, 3, HALF)]
    assert Told(half).state == (HALF, "doubtful")


def test_joined_on_purpose_until_a_day():
    rows = [("2026-01-01", SHIFT, 1, BAD)]
    joined = boundaries_of(joined_from_on="2025-07-01", joined_until_on="2026-06-30")
    told = Told(rows, boundaries=joined)
    assert told.state == (OPEN, "joined_on_purpose")
    assert told.states.joined_on_purpose.tolist() == [True]
    assert told.joint == [(OPEN, "joined_on_purpose")] * 3
    assert told.who() == {}
    over = boundaries_of(joined_from_on="2025-07-01", joined_until_on="2026-05-14")
    assert Told(rows, boundaries=over).state == (BAD, "shorted")
    open_ended = boundaries_of(joined_from_on="2025-07-01")
    assert Told(rows, boundaries=open_ended).state == (OPEN, "joined_on_purpose")


BOND = {"kind": PathKind.TEMPORARY_BOND, "state": PathState.NOT_KNOWN}


@pytest.mark.parametrize(
    ("path", "row", "state"),
    [
        # A bond put on and never taken off joins, whatever nobody wrote.
        ({**BOND, "fitted_on": "2025-10-02"}, None, "cause_found"),
        (
            {**BOND, "fitted_on": "2025-10-02", "removed_on": "2025-10-09"},
            None,
            "isolating",
        ),
        ({**BOND, "fitted_on": "2027-01-01"}, None, "isolating"),
        ({"state": PathState.JOINING, "checked_on": "2025-09-09"}, None, "cause_found"),
        ({"state": PathState.JOINING, "checked_on": "2025-01-09"}, None, "isolating"),
        ({"state": PathState.JOINING, "fitted_on": "NaT"}, None, "cause_found"),
        ({"state": PathState.NOT_KNOWN}, BAD, "cause_found"),
        ({"state": PathState.NOT_KNOWN}, GOOD, "isolating"),
        ({"state": PathState.NOT_KNOWN}, OPEN, "isolating"),
        ({"state": PathState.JOINING, "checked_on": "2026-03-03"}, GOOD, "cause_found"),
        (
            {"state": PathState.JOINING, "joint_id": 2, "checked_on": "2025-09-09"},
            None,
            "cause_found",
        ),
        (
            {"state": PathState.JOINING, "joint_id": 2, "checked_on": "2025-01-09"},
            None,
            "isolating",
        ),
        (
            {
                "kind": PathKind.RESISTANCE_BOND,
                "state": PathState.JOINING,
                "checked_on": "2026-01-09",
            },
            None,
            "isolating",
        ),
        (
            {"state": PathState.JOINING, "boundary_id": 9, "checked_on": "2026-01-09"},
            None,
            "isolating",
        ),
    ],
)
def test_a_path_that_joins(path, row, state):
    rows = [("2025-06-01", SHIFT, 1, GOOD)]
    rows += [] if row is None else [("2026-02-02", LOOK, 1, row)]
    told = Told(rows, paths=paths_of(1, **path))
    assert told.state[1] == state
    if state == "cause_found":
        assert told.who()["p1"] == "path_joining"
        assert told.states.test_row.tolist() == [-1]


@pytest.mark.parametrize(
    ("path", "contradicts"),
    [
        ({"kind": PathKind.TEMPORARY_BOND}, True),
        ({"kind": PathKind.BOND_ON_PURPOSE}, True),
        ({"kind": PathKind.TEMPORARY_BOND, "state": PathState.NOT_KNOWN}, True),
        ({"kind": PathKind.BOND_ON_PURPOSE, "state": PathState.NOT_KNOWN}, False),
        ({"kind": PathKind.BOND_ON_PURPOSE, "state": PathState.APART}, False),
        ({"kind": PathKind.BOND_ON_PURPOSE, "removed_on": "2025-05-01"}, False),
        # It passes current by design, and may leave a reading good.
        ({"kind": PathKind.RESISTANCE_BOND}, False),
        # Whatever joined before a good reading is taken to be gone.
        ({"kind": PathKind.SUPPORT}, False),
    ],
)
def test_a_bond_on_record_and_a_later_good_reading(path, contradicts):
    bond = {"state": PathState.JOINING, "fitted_on": "2025-01-09", **path}
    told = Told([("2025-06-01", SHIFT, 1, GOOD)], paths=paths_of(1, **bond))
    unclear = OPEN, "bond_on_record"
    assert told.state == (unclear if contradicts else (GOOD, "isolating"))
    good = [(GOOD, "boundary_test"), (GOOD, "credited"), (GOOD, "credited")]
    assert told.joint == ([unclear] * 3 if contradicts else good)
    assert told.states.test_row.tolist() == [0]
    assert told.each.test_row.tolist() == [0, 0, 0]
    # A device that was read itself is called what that shows.
    tests = [("2025-06-01", SHIFT, 1, GOOD), ("2025-06-02", RF, 1, GOOD)]
    assert Told(tests, paths=paths_of(1, **bond)).joint[0] == (GOOD, "device_test")


def test_the_first_of_several_paths_tells_since_when():
    days = ["2025-09-09", "2025-08-08", "2025-10-10"]
    paths = paths_of(3, state=PathState.JOINING, checked_on=days)
    assert str(Told([], paths=paths).states.first_bad_on[0]) == "2025-08-08"


def test_a_path_found_apart_since_is_ruled_out():
    rows = [("2026-01-01", SHIFT, 1, BAD), ("2026-01-05", LOOK, 1, GOOD)]
    told = Told(rows, paths=paths_of(2))
    assert told.who()["p1"] == "path_apart"
    # The other was found apart long before.
    assert told.who()["p2"] == "open"


def test_a_check_of_a_path_that_is_not_on_record_says_nothing():
    assert Told([("2026-01-05", LOOK, 7, BAD)]).state == (
        Verdict.NOT_TESTED,
        "not_tested",
    )


def test_only_joints_that_stand_there_are_suspect():
    states = [JointState.IN_DUTY, JointState.PLANNED, JointState.REMOVED]
    told = Told(
        [("2026-01-01", SHIFT, 1, BAD)], joints_of(3, x_metre=NEAR, state=states)
    )
    assert told.who() == {1: "open"}


def test_a_boundary_without_joints_is_tested_all_the_same():
    tests = readings(
        2, method=SHIFT, scope=Scope.BOUNDARY, boundary_id=[1, 2],
        tested_on="2026-01-01",
    )  # fmt: skip
    words = judged([GOOD, BAD])
    site = (
        boundaries_of(3),
        joints_of(0),
        paths_of(1, boundary_id=2),
        tests,
        words,
        ON,
    )
    found = boundary_states(*site)
    assert [Verdict.at(v) for v in found.state] == [GOOD, BAD, Verdict.NOT_TESTED]
    assert suspects(*site).path_id.tolist() == [1]


def test_two_lines_each_shorted_to_the_plant_earth():
    # Boundaries: line 1 | earth, line 2 | earth, line 1 | line 2, earth | store.
    bounds = boundaries_of(4, structure_a_id=[1, 2, 1, 9], structure_b_id=[9, 9, 2, 8])
    joints = joints_of(4, boundary_id=[1, 2, 3, 4])
    day = "2026-01-01"
    told = Told(
        [(day, SHIFT, joint, BAD) for joint in (1, 2, 3, 4)], joints, boundaries=bounds
    )
    assert told.who(3) == {1: "third_structure", 2: "third_structure", 3: "open"}
    assert told.who(4) == {4: "open"}
    assert told.joint[2] == (OPEN, "suspect")
    shown = told.suspects.take(told.suspects.boundary_id == 3)
    assert shown.through_boundary_id.tolist() == [1, 2, 3]
    # A good test of the link on the same day removes the way round.
    rows = [(day, SHIFT, 1, GOOD), (day, SHIFT, 2, BAD), (day, SHIFT, 3, BAD)]
    assert Told(rows, joints, boundaries=bounds).who(3) == {3: "open"}


def test_no_tests_at_all():
    told = Told([])
    assert told.state == (Verdict.NOT_TESTED, "not_tested")
    assert told.joint == [(Verdict.NOT_TESTED, "not_tested")] * 3
    nothing = (boundaries_of(0), joints_of(0), paths_of(), readings(0), judged([]), ON)
    assert len(boundary_states(*nothing)) == len(suspects(*nothing)) == 0


def test_only_what_was_known_on_the_day():
    rows = readings(2, method=RF, joint_id=1, tested_on=["2026-01-01", "2026-09-01"])
    joints, words = joints_of(1), judged([GOOD, BAD], [True, True])
    seen = evidence(joints, rows, words, groups_of(joints, 50.0), 50.0)
    site = (
        boundaries_of(),
        joints,
        paths_of(),
        rows.take(np.array([0])),
        judged([GOOD], [True]),
        ON,
    )
    found = joint_states(
        joints, rows, seen, boundary_states(*site), suspects(*site), ON
    )
    assert Verdict.at(found.verdict[0]) == GOOD


@pytest.mark.parametrize("family", [SUSPECT_REASONS, JOINT_REASONS, BOUNDARY_REASONS])
def test_every_reason_has_its_sentence(family):
    values = {"count": 3, "tested": "2026-01-01", "reason": "because.", "repaired": "x"}
    for reason in family:
        assert "not given" not in say(reason, values)


def test_a_test_before_tie_in_clears_no_suspect():
    bad = ("2026-01-01", SHIFT, 1, BAD)
    before = ("2026-01-02", RF, 1, GOOD, Stage.BEFORE_TIE_IN)
    assert Told([bad, before]).who()[1] == "open"
    assert Told([bad, (*before[:4], Stage.AS_LEFT)]).who()[1] == "device_good"


def test_before_tie_in_a_good_test_follows_a_bad_one():
    first = ("2026-01-01", RF, 1, BAD, Stage.BEFORE_TIE_IN)
    then = ("2026-01-02", RF, 1, GOOD, Stage.BEFORE_TIE_IN)
    assert Told([first, then]).joint[0] == (GOOD, "device_test")
    # Once it was bad as installed, it stays so until it is good as installed.
    assert Told([(*first[:4], Stage.ROUTINE), then]).joint[0] == (BAD, "device_test")
    told = Told([(*first[:4], Stage.ROUTINE), ("2026-02-01", RF, 1, BAD), then])
    assert str(told.each.since_on[0]) == "2026-01-01"
