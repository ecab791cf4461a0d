"""What boundaries and their sections ask a person to do: clocks, current, transfer."""

from collections.abc import Iterator

import numpy as np

from jointmap.acceptance import REASONS
from jointmap.pages.current_views import candidates, draw_name
from jointmap.pages.findings.finder import Finder, Seen
from jointmap.pages.joint_sentences import what_was_done
from jointmap.pages.merged import joined_boundaries
from jointmap.pages.showing import Showing, day_of, subject_link
from jointmap.pages.shown_tests import reason_sentence
from jointmap.register import Occurrence, Structure
from jointmap.register.codes import (
    OccurrenceKind,
    Purpose,
    Verdict,
    code_of,
    word_of,
)
from jointmap.register.rule_codes import RuleShape
from jointmap.reports.views import Finding, Link
from jointmap.sections import JOINT_REASONS, electrical_groups, floating

_HANGING = [
    REASONS.index(f"verdict.{name}") for name in ("hanging_doubtful", "hanging_contact")
]


def not_for_transfer(seen: Seen) -> Iterator[Finding]:
    """Yield each ship/shore joint whose last test of its own is below the limit.

    Also where no test shows it isolating: what may not be known may not be used.
    """
    found = seen.showing.assessed
    states, joints = found.joints, found.ground.joints
    bad = np.append(np.isin(found.judgements.reason, _HANGING), np.False_)
    bad |= np.append(found.judgements.verdict == code_of(Verdict.SHORTED), np.False_)
    asked = (joints.purpose == code_of(Purpose.SHIP_SHORE)) & bad[states.test_row]
    for row in np.flatnonzero(asked).tolist():
        test = int(states.test_row[row])
        yield seen.finding(
            "not_for_transfer",
            seen.showing.joint_link(int(states.joint_id[row])),
            "not_for_transfer",
            since=_since(seen, test),
            tested=day_of(seen.showing.assessed.tests.tested_on[test]),
            reason=reason_sentence(seen.showing, test),
        )


def _since(seen: Seen, row: int) -> str:
    """Return the minute of a test, or its day where no minute is on record."""
    test = seen.tests.records[int(seen.showing.assessed.tests.test_id[row])]
    at = test.tested_at
    return f"{at:%Y-%m-%d %H:%M} UTC" if at else str(test.tested_on)


def clocks_over(seen: Seen) -> Iterator[Finding]:
    """Yield each clock after a bad result whose last allowed day is over."""
    running, on = seen.showing.running, np.datetime64(seen.showing.assessed.on, "D")
    found = running.clocks
    for n in np.flatnonzero(found.until_on < on).tolist():
        row = int(found.row[n])
        if running.met_by(n):
            continue
        subject = int(running.subjects.subject[row])
        link = subject_link(
            seen.showing, subject, int(running.subjects.subject_id[row])
        )
        yield seen.finding(
            "clock_over",
            link,
            "clock_over",
            what=str(word_of(RuleShape, int(found.shape[n]))),
            until=day_of(found.until_on[n]),
            since=day_of(found.from_on[n]),
            days=int((on - found.until_on[n]).astype(int)),
            source=seen.showing.assessed.sources[int(found.rule_id[n])],
        )


def repairs_not_proved(seen: Seen) -> Iterator[Finding]:
    """Yield each joint and boundary with a repair that no good test has proved."""
    found = seen.showing.assessed
    open_ = ~np.isnat(found.not_proved_on)
    open_ |= found.joints.reason == JOINT_REASONS.index("joint_state.repair_not_proved")
    for row in np.flatnonzero(open_).tolist():
        link = seen.showing.joint_link(int(found.joints.joint_id[row]))
        done = what_was_done(seen.showing, row)
        facts = {"done": done, "repaired": day_of(found.not_proved_on[row])}
        yield seen.finding("repair_not_proved", link, "repair_not_proved", **facts)
    for record in found.state.records(Occurrence).values():
        if record.boundary_id is None or not _is_open(seen, record):
            continue
        yield seen.finding(
            "repair_not_proved",
            seen.showing.boundary_link(record.boundary_id),
            "repair_of_boundary",
            day=record.happened_on,
            what=record.remark or record.place,
        )


def _is_open(seen: Seen, record: Occurrence) -> bool:
    """Whether a boundary was not shown good on the day of its repair or later."""
    found = seen.showing.assessed
    if record.kind is not OccurrenceKind.REPAIR or record.happened_on > found.on:
        return False
    row = seen.showing.boundary_rows[record.boundary_id or 0]
    good = found.boundaries.state[row] == code_of(Verdict.ISOLATING)
    day = np.datetime64(record.happened_on, "D")
    return not (good and found.boundaries.last_good_on[row] >= day)


def section_current(seen: Seen) -> Iterator[Finding]:
    """Yield each section that draws more than its design accounts for."""
    for draw in dict.fromkeys(seen.showing.drawn.values()):
        if draw.is_over:
            name = draw_name(seen.showing, draw)
            names = ", ".join(candidates(seen.showing, draw.structure_ids))
            yield seen.finding(
                "section_current",
                Link(name),
                "section_current" if names else "section_current_no_candidate",
                structure=name,
                measured=draw.measured_ampere,
                design=draw.design_ampere,
                value=draw.measured_ampere - draw.design_ampere,
                readings=", ".join(draw.readings),
                names=names,
            )


def floating_structures(showing: Showing) -> list[int]:
    """Return the structures that float, by id."""
    ground = showing.assessed.ground
    bounds, structures = ground.boundaries, ground.structures
    ids = structures["id"]
    groups = electrical_groups(
        ids, bounds.structure_a_id, bounds.structure_b_id, joined_boundaries(showing)
    )
    fed_by_any = {s for fed in showing.fed.values() for s in fed}
    fed = np.isin(ids, list(fed_by_any))
    mask = floating(structures["kind"], structures["is_protected"], fed, groups)
    found: list[int] = ids[mask].tolist()
    return found


def floats(seen: Seen) -> Iterator[Finding]:
    """Yield each structure that nothing on record feeds or earths."""
    names = seen.showing.assessed.state.records(Structure)
    for id_ in floating_structures(seen.showing):
        name = names[id_].name
        yield seen.finding("floating", Link(name), "floating", structure=name)


BOUNDARY_FINDERS: tuple[Finder, ...] = (
    not_for_transfer,
    repairs_not_proved,
    clocks_over,
    section_current,
    floats,
)
