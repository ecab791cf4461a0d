"""Which evidence still speaks of a joint after a repair, and since when it is bad.

A joint that was found bad stays bad until a test that is valid for an installed joint
is good. Neither a new device alone nor a test before tie-in is a repair.
"""

from typing import NamedTuple

import numpy as np

from jointmap.register.codes import Stage, Verdict
from jointmap.register.columns import Codes, Days, Flags, Ids, JointColumns, TestColumns
from jointmap.register.joining import NO_ROW, row_of
from jointmap.sections.evidence import ISOLATING, SHORTED, EvidenceColumns

NO_DAY = np.datetime64("NaT", "D")
DOUBTFUL = Verdict.DOUBTFUL.code
NOT_INSTALLED = Stage.BEFORE_TIE_IN.code
_BEFORE_THE_WORK = Stage.AS_FOUND.code


class _Told(NamedTuple):
    """Per row of the evidence: what it says, and the last of each kind before it."""

    good: Flags  # by a test that is valid for an installed joint
    bad: Flags  # of the device, installed too
    last_good: Ids  # up to and with this row, of the same joint; -1 none
    last_bad: Ids
    end: Ids  # the joint's last row


def standing(seen: EvidenceColumns, tests: TestColumns) -> Flags:
    """Return which rows speak of the joint as it is now.

    Rows of the device fitted now do, but a good one before tie-in proves no repair.
    A bad row of an earlier device does, until the joint is good as installed.
    """
    told = _told(seen, tests)
    was_bad = told.last_bad > told.last_good
    proves_nothing = (seen.verdict == ISOLATING) & ~told.good & was_bad
    still_bad = told.bad & (np.arange(len(seen)) > told.last_good[told.end])
    speaks: Flags = (seen.this_device & ~proves_nothing) | still_bad
    return speaks


def bad_since(
    joints: JointColumns, seen: EvidenceColumns, tests: TestColumns, verdict: Codes
) -> Days:
    """Return per joint the first bad day after its last good one.

    ``verdict`` is what each joint is called: of a shorted joint the first short counts,
    of a doubtful one the first that was not good; others have no such day.
    """
    told = _told(seen, tests)
    row = row_of(joints.joint_id, seen.joint_id)
    asked = np.append(verdict, NO_ROW)[row]
    counts = told.bad & (seen.verdict >= asked)
    counts &= np.arange(len(seen)) > told.last_good[told.end]
    found = np.full(len(joints), NO_DAY)
    # Written from the last to the first, so that the first stays.
    found[row[counts][::-1]] = seen.tested_on[counts][::-1]
    return np.where(np.isin(verdict, (DOUBTFUL, SHORTED)), found, NO_DAY)


def proved_since(
    joints: JointColumns, seen: EvidenceColumns, tests: TestColumns, since_on: Days
) -> Flags:
    """Return which joints were good as installed on their day or later.

    On the day itself a test as found does not count: it was made before the work.
    """
    row = row_of(joints.joint_id, seen.joint_id)
    day = np.append(since_on, NO_DAY)[row]
    as_found = tests.stage[seen.row] == _BEFORE_THE_WORK
    after = (seen.tested_on > day) | ((seen.tested_on == day) & ~as_found)
    good = _told(seen, tests).good & after & (row >= 0)
    return np.isin(np.arange(len(joints)), row[good])


def _told(seen: EvidenceColumns, tests: TestColumns) -> _Told:
    installed = tests.stage[seen.row] != NOT_INSTALLED
    good = (seen.verdict == ISOLATING) & installed
    bad = seen.of_device & installed & np.isin(seen.verdict, (DOUBTFUL, SHORTED))
    change = np.append(True, seen.joint_id[1:] != seen.joint_id[:-1])[: len(seen)]
    first = np.flatnonzero(change)
    count = np.diff(np.append(first, len(seen)))
    start, end = np.repeat(first, count), np.repeat(first + count - 1, count)
    return _Told(good, bad, _last(good, start), _last(bad, start), end)


def _last(flags: Flags, start: Ids) -> Ids:
    """Return per row the last flagged row up to it since ``start``; -1 none."""
    marked = np.where(flags, np.arange(len(flags)), NO_ROW)
    found = np.maximum.accumulate(marked) if len(flags) else marked
    return np.where(found >= start, found, NO_ROW)
