"""What the register shows that a person should look at, each with its reason."""

import datetime as dt
from collections.abc import Iterator

import numpy as np

from jointmap.assessment.boundary_facts import causes_of, is_shorted
from jointmap.assessment.reasons_told import due_because, joint_reason
from jointmap.assessment.site_on_day import day_of
from jointmap.findings.finder import Finder, Seen
from jointmap.findings.finding import About, Found
from jointmap.register.codes import (
    Basis,
    DueState,
    PathKind,
    PathState,
    Purpose,
    Verdict,
    code_of,
)
from jointmap.register.rights.roles import MEANT_TO_JOIN
from jointmap.register.told import Told

ENDS_SOON_DAYS = 60


def boundaries_shorted(seen: Seen) -> Iterator[Found]:
    """Yield each shorted boundary with the number of its suspects."""
    states = seen.site.assessed.boundaries
    for row, id_ in enumerate(states.boundary_id.tolist()):
        if not is_shorted(seen.site, id_):
            continue
        cause = causes_of(seen.site, id_)
        yield seen.finding(
            "boundary_shorted",
            About.boundary(id_),
            "boundary_shorted_cause" if cause else "boundary_shorted",
            first_bad=day_of(states.first_bad_on[row]) or "an unknown day",
            last_good=day_of(states.last_good_on[row]) or Told("boundary.never_good"),
            count=int(states.suspects[row]),
            cause=cause,
        )


def past_limit(seen: Seen) -> Iterator[Found]:
    """Yield each subject whose last allowed day is over."""
    items = seen.site.assessed.items
    for row in np.flatnonzero(items.state == code_of(DueState.PAST_LIMIT)).tolist():
        about = About.of(int(items.subject[row]), int(items.subject_id[row]))
        because, _ = due_because(seen.site.assessed, row)
        day = day_of(items.last_allowed_on[row])
        yield seen.finding("past_limit", about, "past_limit", day=day, because=because)


def missed_limits(seen: Seen) -> Iterator[Found]:
    """Yield missed calendar years, and tests within days of a limit, under law."""
    missed, subjects = seen.missed, seen.site.assessed.subjects
    for n, row in enumerate(missed.row.tolist()):
        if seen.site.rule(int(missed.rule_id[n])).basis is not Basis.LAW:
            continue
        subject = int(subjects.subject[row]), int(subjects.subject_id[row])
        about = About.of(*subject)
        facts = {
            "limit": day_of(missed.limit_on[n]),
            "next": day_of(missed.next_on[n]) or "not yet",
        }
        if missed.days_over[n] > 0 and missed.first_year[n]:
            years = _years(int(missed.first_year[n]), int(missed.last_year[n]))
            gap = Told("find.missed_gap_kept") if missed.gap_kept[n] else ""
            yield seen.finding(
                "missed_year", about, "missed_year", years=years, gap=gap, **facts
            )
        elif missed.days_over[n] <= 0:
            days = -int(missed.days_over[n])
            yield seen.finding(
                "close_to_limit", about, "close_to_limit", days=days, **facts
            )


def _years(first: int, last: int) -> str:
    return str(first) if first == last else f"{first} to {last}"


def paths_joining(seen: Seen) -> Iterator[Found]:
    """Yield temporary bonds left on, and other paths found joining."""
    known = seen.site.path_states
    for id_, path in seen.site.paths.items():
        about = About.boundary(path.boundary_id)
        if path.removed_on is not None:
            continue
        if path.kind is PathKind.TEMPORARY_BOND:
            facts = {"path": path.name, "fitted": path.fitted_on or "on an unknown day"}
            yield seen.finding("temporary_bond", about, "temporary_bond", **facts)
        elif known[id_].state is PathState.JOINING and path.kind not in MEANT_TO_JOIN:
            yield seen.finding(
                "path_joining",
                about,
                "path_joining",
                path=path.name,
                what=path.kind,
                checked=known[id_].on or "on an unknown day",
            )


def lost_stud_sides(seen: Seen) -> Iterator[Found]:
    """Yield each stud that isolates on fewer sides than its kit gives it."""
    studs = seen.site.assessed.studs
    lost = (studs.sides_left >= 0) & (studs.sides_left < studs.sides_possible)
    for row in np.flatnonzero(lost).tolist():
        yield seen.finding(
            "stud_one_side",
            About.joint(int(studs.joint_id[row])),
            "stud_one_side",
            stud=int(studs.stud[row]),
            left=int(studs.sides_left[row]),
            possible=int(studs.sides_possible[row]),
            tested=day_of(studs.tested_on[row]),
        )


def undecided(seen: Seen) -> Iterator[Found]:
    """Yield joints of which no method so far can tell, and those without a date."""
    states, items = seen.site.assessed.joints, seen.site.assessed.items
    open_ = (states.verdict == code_of(Verdict.INCONCLUSIVE)) & ~states.is_suspect
    for row in np.flatnonzero(open_).tolist():
        about = About.joint(int(states.joint_id[row]))
        reason = joint_reason(seen.site, row)
        facts = {
            "reason": reason,
            "tested": _tested_on(seen, int(states.test_row[row])),
        }
        yield seen.finding("cannot_decide", about, "cannot_decide", **facts)
    for row in np.flatnonzero(items.state == code_of(DueState.NO_BASIS)).tolist():
        about = About.of(int(items.subject[row]), int(items.subject_id[row]))
        reason, _ = due_because(seen.site.assessed, row)
        yield seen.finding("no_basis", about, "no_basis", reason=reason)


def _tested_on(seen: Seen, row: int) -> dt.date | None:
    return None if row < 0 else day_of(seen.site.assessed.tests.tested_on[row])


def purposes(seen: Seen) -> Iterator[Found]:
    """Yield boundaries without a purpose, and permissions that end soon."""
    on = seen.site.assessed.on
    for id_, boundary in seen.site.boundaries.items():
        about = About.boundary(id_)
        if boundary.purpose is Purpose.NOT_STATED:
            yield seen.finding("no_purpose", about, "no_purpose")
        until = boundary.joined_until_on
        if until is not None and (until - on).days <= ENDS_SOON_DAYS:
            facts = {
                "until": until,
                "by": boundary.joined_by or "authority not on record",
            }
            yield seen.finding("decision_ends", about, "decision_ends", **facts)


FINDERS: tuple[Finder, ...] = (
    boundaries_shorted,
    past_limit,
    missed_limits,
    paths_joining,
    lost_stud_sides,
    undecided,
    purposes,
)
