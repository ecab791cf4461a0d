"""Why a joint is called what it is: what the verdict rests on, and what comes next."""

import datetime as dt
from collections.abc import Iterator

import numpy as np

from jointmap.assessment.reasons_told import joint_reason
from jointmap.pages.dossier.alterations_shown import altered_rows
from jointmap.pages.dossier.answer import answer_of
from jointmap.pages.due.steps import due_view
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.register import IsolationTest
from jointmap.register.codes import Subject, Verdict
from jointmap.register.time_order import time_key
from jointmap.reports.views import TestRow, ToldTest
from jointmap.reports.views_dossier import PathWhy, Why
from jointmap.sections import boundary_of, tells_boundary
from jointmap.wording import say, say_told


def why_view(showing: Showing, tests: ShownTests, id_: int) -> Why:
    """Return what tells how the verdict and the date of a joint come about.

    ``tests`` hold those of the joint, of its boundary, and ``told_tests``.
    """
    return Why(
        answer=answer_of(showing, id_),
        reason=say_told(joint_reason(showing, showing.joint_rows[id_])),
        tests=tuple(_told(showing, tests, id_)),
        altered=tuple(_altered_since(showing, tests, id_)),
    )


def _altered_since(showing: Showing, tests: ShownTests, id_: int) -> Iterator[str]:
    """Yield what was otherwise on the day of the test that the verdict rests on."""
    basis, _ = told_tests(showing, id_)
    if not basis:
        return
    day = tests.records[basis].tested_on
    nothing = say("absent.any")
    for row in altered_rows(showing, id_):
        if row.from_on > day:
            facts = {"what": row.what, "day": day, "from_on": row.from_on}
            values = {"old": row.old or nothing, "new": row.new or nothing}
            yield say("why.altered_since", facts | values)


def path_why(showing: Showing, id_: int) -> PathWhy:
    """Return how the state and the date of a parallel path come about."""
    path, state = showing.paths[id_], showing.path_states[id_]
    test = _look_at(showing, id_, state.on)
    told = (
        ToldTest(say("why.rests_on", {"where": say("why.here")}), test)
        if test
        else None
    )
    return PathWhy(
        frame=showing.frame,
        name=path.name,
        boundary=showing.boundaries[path.boundary_id].name,
        kind=str(path.kind),
        state=str(state.state),
        checked_on=state.on,
        removed_on=path.removed_on,
        due=due_view(showing, Subject.PATH, id_),
        tests=(told,) if told else (),
        no_test="" if told else say("why.path_recorded"),
        next_step=showing.next_steps.of(Subject.PATH, id_),
    )


def _look_at(showing: Showing, id_: int, on: dt.date | None) -> TestRow | None:
    """Return the test of a path that its state is by; None where that is its record."""
    tests, said = showing.assessed.tests, showing.assessed.judgements
    decides = (tests.path_id == id_) & (said.verdict <= Verdict.SHORTED.code)
    rows = np.flatnonzero(
        decides & (tests.tested_on == np.datetime64(on or "NaT", "D"))
    )
    if not len(rows):
        return None
    order = np.lexsort((tests.test_id[rows], tests.stage[rows]))
    return ShownTests(showing).row(int(tests.test_id[rows[order[-1]]]))


def told_tests(showing: Showing, id_: int) -> tuple[int, int]:
    """Return the ids of the test that a joint's verdict rests on, and of the newest.

    The newest is the last made on the joint itself or on its boundary, wherever that
    was read. 0 where there is none.
    """
    found = showing.assessed
    tests, joints = found.tests, found.ground.joints
    row = int(found.joints.test_row[showing.joint_rows[id_]])
    basis = int(tests.test_id[row]) if row >= 0 else 0
    boundary_id = showing.joints[id_].boundary_id
    own = tells_boundary(tests) & (boundary_of(joints, tests) == boundary_id)
    rows = np.flatnonzero(own | (tests.joint_id == id_))
    time = time_key(tests, found.judgements, rows)
    last = rows[np.lexsort((tests.test_id[rows], time))][-1:]
    return basis, int(tests.test_id[last[0]]) if len(last) else 0


def _told(showing: Showing, tests: ShownTests, id_: int) -> Iterator[ToldTest]:
    """Yield the test that the verdict rests on, then the newest if that is another."""
    basis, newest = told_tests(showing, id_)
    for name, test_id in (("rests_on", basis), ("newest", newest)):
        if test_id and (name == "rests_on" or newest != basis):
            where = _where(showing, id_, test_id, tests.records[test_id])
            heading = say(f"why.{name}", {"where": where})
            yield ToldTest(heading, tests.row(test_id))


def _where(showing: Showing, id_: int, test_id: int, test: IsolationTest) -> str:
    """Return where a test was read, as seen from a joint, and if it is credited."""
    if test.joint_id == id_:
        return say("why.here")
    if test.joint_id is None:
        return say("why.no_place")
    facts = {"joint": showing.joints[test.joint_id].tag}
    told = say("why.read_at", facts | {"away": _away(showing, id_, test.joint_id)})
    return f"{told}{_credit(showing, id_, test_id)}"


def _away(showing: Showing, id_: int, other: int) -> str:
    joints, row = showing.assessed.ground.joints, showing.joint_rows
    one, two = row[id_], row[other]
    metre = np.hypot(
        joints.x_metre[one] - joints.x_metre[two],
        joints.y_metre[one] - joints.y_metre[two],
    )
    if np.isnan(metre):
        return say("why.distance_unknown")
    return say("why.metre", {"count": round(float(metre))})


def _credit(showing: Showing, id_: int, test_id: int) -> str:
    """Return what a test read elsewhere is to a joint: credited, or no credit.

    A bad reading of the boundary is no credit; it concerns every joint of it.
    """
    found = showing.assessed
    row = showing.test_rows[test_id]
    if found.judgements.verdict[row] == Verdict.SHORTED:
        return ""
    seen = found.evidence
    is_credited = ((seen.joint_id == id_) & (seen.row == row) & seen.credited).any()
    return say("why.credited" if is_credited else "why.no_credit")
