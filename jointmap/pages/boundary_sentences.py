"""What is said of one boundary: its state, since when, and who may carry the short."""

import datetime as dt
from dataclasses import replace

from jointmap.assessment.boundary_facts import causes_of
from jointmap.assessment.site_on_day import day_of
from jointmap.assessment.two_persons import by_one_person
from jointmap.pages.showing import Showing, verdict_sign
from jointmap.pages.shown_tests import reason_sentence
from jointmap.register import Decision
from jointmap.register.codes import DecisionKind, Subject, Verdict
from jointmap.register.told import Told
from jointmap.reports.views import Sign
from jointmap.sections import BOUNDARY_REASONS
from jointmap.wording import say


def boundary_row(showing: Showing, id_: int) -> int:
    """Return the row of a boundary in the boundary states."""
    return showing.boundary_rows[id_]


def boundary_sign(showing: Showing, id_: int) -> Sign:
    """Return the verdict on a boundary as word and glyph; joined on purpose is none."""
    states, row = showing.assessed.boundaries, boundary_row(showing, id_)
    note = showing.not_proved(Subject.BOUNDARY, id_)
    sign = replace(verdict_sign(int(states.state[row])), note=note)
    joined = bool(states.joined_on_purpose[row])
    return replace(sign, word=say("boundary.joined_word")) if joined else sign


def first_bad_on(showing: Showing, id_: int) -> dt.date | None:
    """Return the first bad day; none of a boundary that is joined on purpose."""
    states, row = showing.assessed.boundaries, boundary_row(showing, id_)
    return None if states.joined_on_purpose[row] else day_of(states.first_bad_on[row])


def boundary_statement(showing: Showing, id_: int) -> str:
    """Return the state of a boundary in a sentence or two."""
    states, row = showing.assessed.boundaries, boundary_row(showing, id_)
    joined = joined_sentence(showing, id_)
    if states.joined_on_purpose[row] and joined:
        return joined
    reason = BOUNDARY_REASONS[int(states.reason[row])]
    found = say(reason, {"count": int(states.suspects[row])})
    if states.state[row] == Verdict.DOUBTFUL:
        return f"{found} {_doubtful_at(showing, int(states.test_row[row]))}"
    cause = causes_of(showing, id_)
    if cause:
        return f"{found} {say('boundary.cause', {'cause': cause})}"
    if states.state[row] == Verdict.SHORTED:
        return f"{found} {say('boundary.no_joint')}"
    return found


def _doubtful_at(showing: Showing, test: int) -> str:
    """Return where and how a boundary is doubtful."""
    tests = showing.assessed.tests
    joint = int(tests.joint_id[test])
    values = {
        "where": showing.joints[joint].tag if joint else say("absent.place"),
        "tested": day_of(tests.tested_on[test]),
        "reason": reason_sentence(showing, test),
    }
    return say("boundary.doubtful_at", values)


def joined_sentence(showing: Showing, id_: int) -> str:
    """Return who permitted a boundary to be joined, and until when; blank for none."""
    boundary = showing.boundaries[id_]
    if boundary.joined_from_on is None:
        return ""
    by = boundary.joined_by or say("absent.authority")
    values = {
        "by": by,
        "by_one": _by_one(showing, showing.boundary_names[id_]),
        "from_on": boundary.joined_from_on,
        "until": boundary.joined_until_on or say("absent.end"),
    }
    return say("boundary.joined", values)


def _by_one(showing: Showing, names: tuple[str, ...]) -> Told | str:
    """Return that one person permitted it, if the last decision on it says so."""
    made = [
        d
        for name in reversed(names)
        for _, d in showing.state.records_of(Decision, "subject_key", name)
        if d.kind is DecisionKind.JOINED_ON_PURPOSE
        if d.decided_on <= showing.assessed.on
    ]
    return by_one_person(made[-1]) if made else ""


def none_suspected(showing: Showing, id_: int) -> str:
    """Return why a boundary joined on purpose has no suspects; blank for others."""
    row = boundary_row(showing, id_)
    if not showing.assessed.boundaries.joined_on_purpose[row]:
        return ""
    until = showing.boundaries[id_].joined_until_on
    if until is None:
        return say("boundary.none_suspected_open")
    return say("boundary.none_suspected", {"until": until})
