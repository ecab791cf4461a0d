"""What boundaries and their sections ask a person to do: clocks, current, transfer."""

from collections.abc import Iterator

import numpy as np

from jointmap.acceptance import REASONS
from jointmap.assessment.assess import Assessment
from jointmap.assessment.boundary_facts import current_candidates, draw_name
from jointmap.assessment.reasons_told import test_reason
from jointmap.assessment.section_current import MOST_OVER_DESIGN
from jointmap.assessment.site_on_day import SiteOnDay, day_of
from jointmap.findings.ac_read import last_ac
from jointmap.findings.finder import Finder, Seen, finds
from jointmap.findings.finding import About, Found
from jointmap.findings.kind import Gravity, Kind
from jointmap.findings.unproved import unproved_repairs
from jointmap.register.codes import Purpose, Verdict
from jointmap.register.columns import Flags, Ids
from jointmap.register.rule_codes import RuleShape
from jointmap.sections import floating

_HANGING = [
    REASONS.index(f"verdict.{name}") for name in ("hanging_doubtful", "hanging_contact")
]
AC_OVER_LIMIT = Kind("ac_over_limit", Gravity.ACT_TODAY, "ac", "tested")
NOT_FOR_TRANSFER = Kind("not_for_transfer", Gravity.ACT_TODAY, "limit", "tested")
REPAIR_NOT_PROVED = Kind("repair_not_proved", Gravity.ACT_SOON, "limit", "repaired")
CLOCK_OVER = Kind("clock_over", Gravity.ACT_TODAY, "rule", "until")
SECTION_CURRENT = Kind(
    "section_current",
    Gravity.ACT_SOON,
    "common_practice",
    numbers={"most": MOST_OVER_DESIGN},
)
FLOATING = Kind("floating", Gravity.LOOK, "record")


@finds(AC_OVER_LIMIT)
def ac_over_limit(seen: Seen) -> Iterator[Found]:
    """Yield each place whose last AC reading, by any method, is at the limit or above.

    Whether the test could decide anything else does not matter.
    """
    limit = seen.site.assessed.ground.site.ac_limit_volt
    for about, (tested, value) in last_ac(seen.site).items():
        if value >= limit:
            facts = {"tested": tested, "value": value, "limit": limit}
            yield seen.finding(AC_OVER_LIMIT, about, "ac_over_limit", **facts)


@finds(NOT_FOR_TRANSFER)
def not_for_transfer(seen: Seen) -> Iterator[Found]:
    """Yield each ship/shore joint whose last test of its own is below the limit.

    Also where no test shows it isolating: what may not be known may not be used.
    """
    states = seen.site.assessed.joints
    for row in np.flatnonzero(bars_transfer(seen.site.assessed)).tolist():
        test = int(states.test_row[row])
        yield seen.finding(
            NOT_FOR_TRANSFER,
            About.joint(int(states.joint_id[row])),
            "not_for_transfer",
            since=_since(seen, test),
            tested=day_of(seen.site.assessed.tests.tested_on[test]),
            reason=test_reason(seen.site.assessed, test),
        )


def bars_transfer(found: Assessment) -> Flags:
    """Return per joint whether it may not be used for transfer."""
    states, joints = found.joints, found.ground.joints
    bad = np.append(np.isin(found.judgements.reason, _HANGING), np.False_)
    bad |= np.append(found.judgements.verdict == Verdict.SHORTED, np.False_)
    barred: Flags = (joints.purpose == Purpose.SHIP_SHORE) & bad[states.test_row]
    return barred


def _since(seen: Seen, row: int) -> str:
    """Return the minute of a test, or its day where no minute is on record."""
    test = seen.tests.records[int(seen.site.assessed.tests.test_id[row])]
    at = test.tested_at
    return f"{at:%Y-%m-%d %H:%M} UTC" if at else str(test.tested_on)


@finds(CLOCK_OVER)
def clocks_over(seen: Seen) -> Iterator[Found]:
    """Yield each clock after a bad result whose last allowed day is over."""
    running, on = seen.site.running, np.datetime64(seen.site.assessed.on, "D")
    found = running.clocks
    for n in np.flatnonzero(found.until_on < on).tolist():
        row = int(found.row[n])
        if running.met_by(n):
            continue
        subject = int(running.subjects.subject[row])
        about = About.of(subject, int(running.subjects.subject_id[row]))
        yield seen.finding(
            CLOCK_OVER,
            about,
            "clock_over",
            what=str(RuleShape.at(int(found.shape[n]))),
            until=day_of(found.until_on[n]),
            since=day_of(found.from_on[n]),
            days=int((on - found.until_on[n]).astype(int)),
            source=seen.site.assessed.sources[int(found.rule_id[n])],
        )


@finds(REPAIR_NOT_PROVED)
def repairs_not_proved(seen: Seen) -> Iterator[Found]:
    """Yield each joint and boundary with a repair that no good test has proved."""
    for about, id_, facts in unproved_repairs(seen.site):
        yield seen.finding(REPAIR_NOT_PROVED, about, id_, **facts)


@finds(SECTION_CURRENT)
def section_current(seen: Seen) -> Iterator[Found]:
    """Yield each section that draws more than its design accounts for."""
    for draw in dict.fromkeys(seen.site.drawn.values()):
        if draw.is_over:
            name = draw_name(seen.site, draw)
            names = current_candidates(seen.site, draw.structure_ids)
            yield seen.finding(
                SECTION_CURRENT,
                About.called(name),
                "section_current" if names else "section_current_no_candidate",
                structure=name,
                measured=draw.measured_ampere,
                design=draw.design_ampere,
                value=draw.measured_ampere - draw.design_ampere,
                readings=draw.readings,
                names=names,
            )


def floating_structures(site: SiteOnDay, one_metal: Ids | None = None) -> list[int]:
    """Return the structures that float, by id; by what is one metal now, or given."""
    groups = site.one_metal if one_metal is None else one_metal
    ground = site.assessed.ground
    structures = ground.structures
    ids = structures.id
    fed_by_any = {s for fed in site.fed.values() for s in fed}
    fed = np.isin(ids, list(fed_by_any))
    mask = floating(structures.kind, structures.is_protected, fed, groups)
    found: list[int] = ids[mask].tolist()
    return found


@finds(FLOATING)
def floats(seen: Seen) -> Iterator[Found]:
    """Yield each structure that nothing on record feeds or earths."""
    names = seen.site.state.structures
    for id_ in floating_structures(seen.site):
        name = names[id_].name
        yield seen.finding(FLOATING, About.called(name), "floating", structure=name)


BOUNDARY_FINDERS: tuple[Finder, ...] = (
    ac_over_limit,
    not_for_transfer,
    repairs_not_proved,
    clocks_over,
    section_current,
    floats,
)
