"""What the register shows that a person should look at, each with its reason."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from jointmap.assessment.boundary_facts import causes_of, is_shorted
from jointmap.assessment.reasons_told import due_because, joint_reason
from jointmap.assessment.site_on_day import day_of
from jointmap.findings.finder import Finder, Seen, finds
from jointmap.findings.finding import About, Found
from jointmap.findings.kind import Gravity, Kind
from jointmap.findings.limits.of_limits import broken_limits, missed_limits
from jointmap.findings.shorted_since import first_bad_tests, since_told
from jointmap.register.codes import (
    DueState,
    PathKind,
    PathState,
    Purpose,
    Verdict,
)
from jointmap.register.rights.roles import MEANT_TO_JOIN
from jointmap.register.told import Told

ENDS_SOON_DAYS = 60
BOUNDARY_SHORTED = Kind("boundary_shorted", Gravity.ACT_TODAY, "limit", "first_bad")
PAST_LIMIT = Kind("past_limit", Gravity.ACT_TODAY, "rule", "day")
TEMPORARY_BOND = Kind("temporary_bond", Gravity.ACT_SOON, "record", "fitted")
PATH_JOINING = Kind("path_joining", Gravity.ACT_SOON, "record", "checked")
STUD_ONE_SIDE = Kind("stud_one_side", Gravity.LOOK, "limit", "tested")
CANNOT_DECIDE = Kind("cannot_decide", Gravity.LOOK, "limit", "tested")
NO_BASIS = Kind("no_basis", Gravity.LOOK, "rule")
NO_PURPOSE = Kind("no_purpose", Gravity.LOOK, "record")
DECISION_ENDS = Kind(
    "decision_ends",
    Gravity.ACT_SOON,
    "common_practice",
    day="until",
    numbers={"days": ENDS_SOON_DAYS},
)


@finds(BOUNDARY_SHORTED)
def boundaries_shorted(seen: Seen) -> Iterator[Found]:
    """Yield each shorted boundary with the number of its suspects."""
    states = seen.site.assessed.boundaries
    first_tests = first_bad_tests(seen.site.assessed)
    for row, id_ in enumerate(states.boundary_id.tolist()):
        if not is_shorted(seen.site, id_):
            continue
        cause = causes_of(seen.site, id_)
        since, on = since_told(states.first_bad_on[row], first_tests[row], cause)
        yield seen.finding(
            BOUNDARY_SHORTED,
            About.boundary(id_),
            "boundary_shorted_cause" if cause else "boundary_shorted",
            since=since,
            first_bad=on,
            last_good=day_of(states.last_good_on[row]) or Told("boundary.never_good"),
            count=int(states.suspects[row]),
            cause=cause,
        )


@finds(PAST_LIMIT)
def past_limit(seen: Seen) -> Iterator[Found]:
    """Yield each subject whose last allowed day is over."""
    items = seen.site.assessed.items
    for row in np.flatnonzero(items.state == DueState.PAST_LIMIT).tolist():
        about = About.of(int(items.subject[row]), int(items.subject_id[row]))
        because, source = due_because(seen.site.assessed, row)
        day = day_of(items.last_allowed_on[row])
        found = seen.finding(PAST_LIMIT, about, "past_limit", day=day, because=because)
        yield replace(found, source=source)


@finds(TEMPORARY_BOND, PATH_JOINING)
def paths_joining(seen: Seen) -> Iterator[Found]:
    """Yield temporary bonds left on, and other paths found joining."""
    known, unknown = seen.site.path_states, Told("absent.on_unknown_day")
    for id_, path in seen.site.paths.items():
        about = About.boundary(path.boundary_id)
        if path.removed_on is not None:
            continue
        if path.kind is PathKind.TEMPORARY_BOND:
            facts = {"path": path.name, "fitted": path.fitted_on or unknown}
            yield seen.finding(TEMPORARY_BOND, about, "temporary_bond", **facts)
        elif known[id_].state is PathState.JOINING and path.kind not in MEANT_TO_JOIN:
            yield seen.finding(
                PATH_JOINING,
                about,
                "path_joining",
                path=path.name,
                what=path.kind,
                checked=known[id_].on or unknown,
            )


@finds(STUD_ONE_SIDE)
def lost_stud_sides(seen: Seen) -> Iterator[Found]:
    """Yield each stud that isolates on fewer sides than its kit gives it."""
    studs = seen.site.assessed.studs
    lost = (studs.sides_left >= 0) & (studs.sides_left < studs.sides_possible)
    for row in np.flatnonzero(lost).tolist():
        yield seen.finding(
            STUD_ONE_SIDE,
            About.joint(int(studs.joint_id[row])),
            "stud_one_side",
            stud=int(studs.stud[row]),
            left=int(studs.sides_left[row]),
            possible=int(studs.sides_possible[row]),
            since=day_of(studs.lost_on[row]),
            tested=day_of(studs.tested_on[row]),
        )


@finds(CANNOT_DECIDE, NO_BASIS)
def undecided(seen: Seen) -> Iterator[Found]:
    """Yield joints of which no method so far can tell, and those without a date."""
    states, items = seen.site.assessed.joints, seen.site.assessed.items
    open_ = (states.verdict == Verdict.INCONCLUSIVE) & ~states.is_suspect
    for row in np.flatnonzero(open_).tolist():
        about = About.joint(int(states.joint_id[row]))
        reason = joint_reason(seen.site, row)
        facts = {
            "reason": reason,
            "tested": _tested_on(seen, int(states.test_row[row])),
        }
        yield seen.finding(CANNOT_DECIDE, about, "cannot_decide", **facts)
    for row in np.flatnonzero(items.state == DueState.NO_BASIS).tolist():
        about = About.of(int(items.subject[row]), int(items.subject_id[row]))
        reason, _ = due_because(seen.site.assessed, row)
        yield seen.finding(NO_BASIS, about, "no_basis", reason=reason)


def _tested_on(seen: Seen, row: int) -> dt.date | None:
    return None if row < 0 else day_of(seen.site.assessed.tests.tested_on[row])


@finds(NO_PURPOSE, DECISION_ENDS)
def purposes(seen: Seen) -> Iterator[Found]:
    """Yield boundaries without a purpose, and permissions that end soon."""
    on = seen.site.assessed.on
    for id_, boundary in seen.site.boundaries.items():
        about = About.boundary(id_)
        if boundary.purpose is Purpose.NOT_STATED:
            yield seen.finding(NO_PURPOSE, about, "no_purpose")
        until = boundary.joined_until_on
        if until is not None and (until - on).days <= ENDS_SOON_DAYS:
            facts = {
                "until": until,
                "by": boundary.joined_by or Told("absent.authority"),
            }
            yield seen.finding(DECISION_ENDS, about, "decision_ends", **facts)


FINDERS: tuple[Finder, ...] = (
    boundaries_shorted,
    past_limit,
    missed_limits,
    broken_limits,
    paths_joining,
    lost_stud_sides,
    undecided,
    purposes,
)
