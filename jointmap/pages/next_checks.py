"""Which check comes next on a shorted boundary: most told a minute, outside first."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from jointmap.assessment.assess import Assessment
from jointmap.assessment.ranking import KINDS, Ranked
from jointmap.assessment.site_on_day import day_of
from jointmap.pages.showing import Showing
from jointmap.register.codes import OccurrenceKind
from jointmap.reports.views import Link
from jointmap.reports.views_boundary import CheckRow
from jointmap.sections import bits_told
from jointmap.tables.suspecting import FAULT_CHECKS, NONE_OF_THESE, FaultCheck
from jointmap.wording import say

# Checks that tell less than this of a bit are not worth the walk (owner's choice).
LEAST_BITS = 0.01
# A surge or AC device may be off for so long while somebody stands beside it.
MOST_MINUTES_LIFTED = 30


@dataclass(frozen=True, slots=True)
class _Offer:
    """One check of one suspect (its row; -1 is metal not on record)."""

    row: int
    check: FaultCheck
    bits: float

    @property
    def order(self) -> tuple[bool, float, int]:
        """Outside the kit first, then what tells most a minute."""
        inside = self.check.inside_kit == "yes"
        return inside, -self.bits / self.check.minutes, self.check.step


def next_checks(showing: Showing, found: Ranked, id_: int) -> tuple[CheckRow, ...]:
    """Return the checks of a shorted boundary in the order to make them.

    A check that takes surge or AC protection off is held back, with the reason, unless
    AC was read since the boundary went bad and no storm is near.
    """
    assessed = showing.assessed
    offers = sorted(_offers(assessed, found, id_), key=lambda o: o.order)
    held_back = _gate(assessed, id_)
    return tuple(_row(showing, offer, held_back) for offer in offers)


def _offers(assessed: Assessment, found: Ranked, id_: int) -> Iterator[_Offer]:
    who = assessed.suspects
    own = (who.boundary_id == id_) & (who.through_boundary_id == id_)
    for row in np.flatnonzero(own & ~who.is_cause).tolist():
        chance = float(found.ranking.suspect[row])
        yield from _of_kind(
            row, KINDS[found.kind[row]], chance, _is_buried(assessed, row)
        )
    left = found.ranking.boundary
    for row in np.flatnonzero(left.boundary_id == id_).tolist():
        yield from _of_kind(-1, NONE_OF_THESE, float(left.none_of_these[row]), False)


def _of_kind(row: int, kind: str, chance: float, buried: bool) -> Iterator[_Offer]:
    for check in FAULT_CHECKS:
        if check.kind != kind or (buried and check.method == "radio-frequency"):
            continue
        told = bits_told(
            np.array([chance]), np.array([check.catches]), np.array([check.false_alarm])
        )
        if told[0] >= LEAST_BITS:
            yield _Offer(row, check, float(told[0]))


def _is_buried(assessed: Assessment, row: int) -> bool:
    ground = assessed.ground
    at = np.flatnonzero(ground.joints.joint_id == assessed.suspects.joint_id[row])
    return bool(len(at) and ground.joint_facts.is_buried[at[0]])


def _gate(assessed: Assessment, id_: int) -> str:
    """Return why no protection may be taken off now; blank where it may."""
    tests, limit = assessed.tests, assessed.ground.site.ac_limit_volt
    states = assessed.boundaries
    since = states.first_bad_on[states.boundary_id == id_][0]
    read = (tests.boundary_id == id_) & (tests.tested_on >= since)
    volts = _ac_volts(assessed, tests.test_id[read].tolist())
    if not volts:
        since_on = day_of(since) or say("checks.went_bad")
        return say("checks.ac_not_read", {"since": since_on})
    if volts[-1] >= limit:
        return say("checks.ac_high", {"value": volts[-1], "limit": limit})
    storms = (
        o.kind is OccurrenceKind.STORM and o.happened_on == assessed.on
        for o in assessed.state.occurrences.values()
    )
    return say("checks.storm") if any(storms) else ""


def _ac_volts(assessed: Assessment, ids: Sequence[int]) -> list[float]:
    """Return the largest AC reading of each test that has one."""
    records = assessed.state.tests
    read = (records[id_].ac_volt for id_ in ids)
    return [volt for volt in read if volt is not None]


def _row(showing: Showing, offer: _Offer, held_back: str) -> CheckRow:
    lifts = offer.check.lifts_protection == "yes"
    told = {"limit": showing.assessed.ground.site.ac_limit_volt,
            "minutes": MOST_MINUTES_LIFTED}  # fmt: skip
    return CheckRow(
        subject=subject_of(showing, offer.row),
        kind=offer.check.kind,
        check=offer.check.check,
        minutes=f"{offer.check.minutes:g} min",
        told=f"{100 * offer.bits:.0f}",
        inside_kit=offer.check.inside_kit == "yes",
        held_back=held_back if lifts else "",
        conditions=say("checks.conditions", told) if lifts else "",
        mark=offer.check.mark,
    )


def subject_of(showing: Showing, row: int) -> Link:
    """Return the joint or path that a row of the suspects stands for."""
    who = showing.assessed.suspects
    if row < 0:
        return Link(say("checks.none_of_these"))
    if who.path_id[row]:
        return Link(showing.paths[int(who.path_id[row])].name)
    return showing.joint_link(int(who.joint_id[row]))
