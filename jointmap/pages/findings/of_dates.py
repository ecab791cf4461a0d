"""What the register shows that a person should look at, each with its reason."""

import datetime as dt
from collections.abc import Iterator

import numpy as np

from jointmap.pages.boundary_sentences import cause_of, is_shorted
from jointmap.pages.due.steps import because_of, rule_named
from jointmap.pages.findings.finder import Finder, Seen
from jointmap.pages.showing import day_of, subject_link
from jointmap.register.codes import (
    Basis,
    DueState,
    PathKind,
    PathState,
    Purpose,
    Verdict,
    code_of,
)
from jointmap.register.roles import MEANT_TO_JOIN
from jointmap.reports.views import Finding
from jointmap.wording import say

ENDS_SOON_DAYS = 60


def boundaries_shorted(seen: Seen) -> Iterator[Finding]:
    """Yield each shorted boundary with the number of its suspects."""
    states = seen.showing.assessed.boundaries
    for row, id_ in enumerate(states.boundary_id.tolist()):
        if not is_shorted(seen.showing, id_):
            continue
        cause = cause_of(seen.showing, id_)
        yield seen.finding(
            "boundary_shorted",
            seen.showing.boundary_link(id_),
            "boundary_shorted_cause" if cause else "boundary_shorted",
            first_bad=day_of(states.first_bad_on[row]) or "an unknown day",
            last_good=day_of(states.last_good_on[row]) or say("boundary.never_good"),
            count=int(states.suspects[row]),
            cause=cause,
        )


def past_limit(seen: Seen) -> Iterator[Finding]:
    """Yield each subject whose last allowed day is over."""
    items = seen.showing.assessed.items
    for row in np.flatnonzero(items.state == code_of(DueState.PAST_LIMIT)).tolist():
        link = subject_link(
            seen.showing, int(items.subject[row]), int(items.subject_id[row])
        )
        because, _ = because_of(seen.showing, row)
        day = day_of(items.last_allowed_on[row])
        yield seen.finding("past_limit", link, "past_limit", day=day, because=because)


def missed_limits(seen: Seen) -> Iterator[Finding]:
    """Yield missed calendar years, and tests within days of a limit, under law."""
    missed, subjects = seen.missed, seen.showing.assessed.subjects
    for n, row in enumerate(missed.row.tolist()):
        if rule_named(seen.showing, int(missed.rule_id[n])).basis is not Basis.LAW:
            continue
        subject = int(subjects.subject[row]), int(subjects.subject_id[row])
        link = subject_link(seen.showing, *subject)
        facts = {
            "limit": day_of(missed.limit_on[n]),
            "next": day_of(missed.next_on[n]) or "not yet",
        }
        if missed.days_over[n] > 0 and missed.first_year[n]:
            years = _years(int(missed.first_year[n]), int(missed.last_year[n]))
            gap = say("find.missed_gap_kept") if missed.gap_kept[n] else ""
            yield seen.finding(
                "missed_year", link, "missed_year", years=years, gap=gap, **facts
            )
        elif missed.days_over[n] <= 0:
            days = -int(missed.days_over[n])
            yield seen.finding(
                "close_to_limit", link, "close_to_limit", days=days, **facts
            )


def _years(first: int, last: int) -> str:
    return str(first) if first == last else f"{first} to {last}"


def paths_joining(seen: Seen) -> Iterator[Finding]:
    """Yield temporary bonds left on, and other paths found joining."""
    known = seen.showing.path_states
    for id_, path in seen.showing.paths.items():
        link = seen.showing.boundary_link(path.boundary_id)
        if path.removed_on is not None:
            continue
        if path.kind is PathKind.TEMPORARY_BOND:
            facts = {"path": path.name, "fitted": path.fitted_on or "on an unknown day"}
            yield seen.finding("temporary_bond", link, "temporary_bond", **facts)
        elif known[id_].state is PathState.JOINING and path.kind not in MEANT_TO_JOIN:
            yield seen.finding(
                "path_joining",
                link,
                "path_joining",
                path=path.name,
                what=path.kind,
                checked=known[id_].on or "on an unknown day",
            )


def lost_stud_sides(seen: Seen) -> Iterator[Finding]:
    """Yield each stud that isolates on fewer sides than its kit gives it."""
    studs = seen.showing.assessed.studs
    lost = (studs.sides_left >= 0) & (studs.sides_left < studs.sides_possible)
    for row in np.flatnonzero(lost).tolist():
        yield seen.finding(
            "stud_one_side",
            seen.showing.joint_link(int(studs.joint_id[row])),
            "stud_one_side",
            stud=int(studs.stud[row]),
            left=int(studs.sides_left[row]),
            possible=int(studs.sides_possible[row]),
            tested=day_of(studs.tested_on[row]),
        )


def undecided(seen: Seen) -> Iterator[Finding]:
    """Yield joints of which no method so far can tell, and those without a date."""
    from jointmap.pages.joint_sentences import joint_reason

    states, items = seen.showing.assessed.joints, seen.showing.assessed.items
    open_ = (states.verdict == code_of(Verdict.INCONCLUSIVE)) & ~states.is_suspect
    for row in np.flatnonzero(open_).tolist():
        link = seen.showing.joint_link(int(states.joint_id[row]))
        reason = joint_reason(seen.showing, row)
        facts = {
            "reason": reason,
            "tested": _tested_on(seen, int(states.test_row[row])),
        }
        yield seen.finding("cannot_decide", link, "cannot_decide", **facts)
    for row in np.flatnonzero(items.state == code_of(DueState.NO_BASIS)).tolist():
        link = subject_link(
            seen.showing, int(items.subject[row]), int(items.subject_id[row])
        )
        reason, _ = because_of(seen.showing, row)
        yield seen.finding("no_basis", link, "no_basis", reason=reason)


def _tested_on(seen: Seen, row: int) -> dt.date | None:
    return None if row < 0 else day_of(seen.showing.assessed.tests.tested_on[row])


def purposes(seen: Seen) -> Iterator[Finding]:
    """Yield boundaries without a purpose, and permissions that end soon."""
    on = seen.showing.assessed.on
    for id_, boundary in seen.showing.boundaries.items():
        link = seen.showing.boundary_link(id_)
        if boundary.purpose is Purpose.NOT_STATED:
            yield seen.finding("no_purpose", link, "no_purpose")
        until = boundary.joined_until_on
        if until is not None and (until - on).days <= ENDS_SOON_DAYS:
            facts = {
                "until": until,
                "by": boundary.joined_by or "authority not on record",
            }
            yield seen.finding("decision_ends", link, "decision_ends", **facts)


FINDERS: tuple[Finder, ...] = (
    boundaries_shorted,
    past_limit,
    missed_limits,
    paths_joining,
    lost_stud_sides,
    undecided,
    purposes,
)
