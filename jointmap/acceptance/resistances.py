"""Judges of resistance: bare joints, installed joints, arms hanging free."""

import numpy as np

from jointmap.acceptance.bars import (
    Bars,
    Findings,
    ResistanceReasons,
    judge_resistance,
)
from jointmap.acceptance.reasons import reason_code
from jointmap.register.columns import ReadingColumns

_BARE = ResistanceReasons(
    "verdict.resistance_isolating",
    "verdict.resistance_doubtful",
    "verdict.resistance_contact",
)
_INSTALLED = ResistanceReasons(
    "verdict.joint_isolating", "verdict.joint_doubtful", "verdict.joint_contact"
)
_HANGING = ResistanceReasons(
    "verdict.hanging_isolating", "verdict.hanging_doubtful", "verdict.hanging_contact"
)


def judge_bare(tests: ReadingColumns, bars: Bars) -> Findings:
    """Judge a joint on the bench or before tie-in, free of the ground."""
    return judge_resistance(tests, bars, _BARE)


def judge_installed(tests: ReadingColumns, bars: Bars) -> Findings:
    """Judge V/I across an installed joint.

    The ground is in parallel, so the joint itself is at least what was read: ohms pass.
    A limit in megohms is refused when it is put in force.
    """
    return judge_resistance(tests, bars, _INSTALLED)


def judge_ohmmeter(tests: ReadingColumns, bars: Bars) -> Findings:
    """Judge an ohmmeter: only across an arm or hose that hangs free."""
    free = judge_resistance(tests, bars, _HANGING)
    installed = np.int16(reason_code("verdict.ohmmeter_installed"))
    beside = ~tests.hangs_free
    return Findings(
        np.where(beside, installed, free.reason),
        free.compared,
        np.where(beside, np.nan, free.against),
        np.where(beside, 0, free.limit_id),
    )
