"""How the leads of a test point stood on the day of each test."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from jointmap.register import Lead
from jointmap.register.codes import LeadState, Side
from jointmap.snapshot.gather import Latest
from jointmap.snapshot.recorded_columns import LeadFindings, read_table
from jointmap.snapshot.snapshot import Snapshot

Array = npt.NDArray[Any]
PROVED, KNOWN_BAD, UNPROVED, NO_LEADS = (
    1,
    0,
    2,
    -1,
)  # as TestColumns.leads_proven has it
_BAD = [s.code for s in (LeadState.BROKEN, LeadState.CROSSED)]
_SOUND = LeadState.SOUND.code


@dataclass(frozen=True, slots=True)
class Leads:
    """What was found of the leads of a site, and which leads a test point has."""

    findings: LeadFindings
    latest: Latest  # finding of a lead
    by_point: list[Array]  # per turn, the id of that lead of each test point

    def proven(self, test_point_id: Array, tested_on: Array) -> Array:
        """Return for each test how the leads that it was read through stood that day.

        What a proof found holds from its day on, until the next one of the same lead; a
        finding without a day holds from the beginning. A side is proved by one sound
        lead; any lead known to be bad speaks against the whole reading.
        """
        findings = self.findings
        through = np.flatnonzero(test_point_id > 0)
        point, on = test_point_id[through], tested_on[through]
        bad = np.zeros(len(through), dtype=bool)
        sound = {side.code: bad.copy() for side in Side}
        for lead_of in self.by_point:
            lead = lead_of[np.minimum(point, len(lead_of) - 1)]
            row = self.latest.at(lead, on)
            stood = np.where((row >= 0) & (lead > 0), findings.state[row], -1)
            bad |= np.isin(stood, _BAD)
            for side in sound:
                sound[side] |= (stood == _SOUND) & (findings.side[row] == side)
        both = np.logical_and.reduce(list(sound.values()))
        found = np.full(len(test_point_id), NO_LEADS, np.int16)
        found[through] = np.where(bad, KNOWN_BAD, np.where(both, PROVED, UNPROVED))
        return found


def read_leads(state: Snapshot) -> Leads:
    """Return every lead of a state, and what was found of it over time."""
    findings = _findings(state)
    latest = Latest.of(findings.id, findings.proved_on)
    return Leads(findings, latest, _leads_in_turn(findings))


def _findings(state: Snapshot) -> LeadFindings:
    """Return every finding about a lead; a later one of another day adds to it.

    A revision that tells of the same day, an earlier one or of none puts right what
    was on record for that day and after it: those findings never were.
    """
    told = read_table(state, Lead, LeadFindings, every_revision=True)
    days = np.where(
        np.isnat(told.proved_on), np.datetime64("0001-01-01"), told.proved_on
    ).astype("datetime64[D]")
    # Leads lie so far apart that a minimum from the end starts anew with each lead.
    place = np.append(days.astype(np.int64) + told.id * 2**23, np.iinfo("i8").max)
    earliest_from = np.minimum.accumulate(place[::-1])[::-1]
    stands = place[:-1] < earliest_from[1:]
    return told.take(stands)


def _leads_in_turn(findings: LeadFindings) -> list[Array]:
    """Return arrays by test point: the first lead of each, the second, and so on."""
    lead, last = np.unique(findings.id[::-1], return_index=True)
    point = findings.test_point_id[::-1][last]
    order = np.argsort(point, kind="stable")
    lead, point = lead[order], point[order]
    turn = np.arange(len(point)) - np.searchsorted(point, point)
    tables = []
    for which in range(int(turn.max(initial=-1)) + 1):
        table = np.zeros(int(point.max()) + 2, dtype=np.int64)
        table[point[turn == which]] = lead[turn == which]
        tables.append(table)
    return tables
