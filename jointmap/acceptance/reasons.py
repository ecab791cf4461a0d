"""Every reason a test may be judged by, and the verdict that goes with it."""

import numpy as np

from jointmap.register.codes import Outcome, Verdict
from jointmap.register.columns import Codes, Flags

_YES, _HALF = Verdict.ISOLATING, Verdict.DOUBTFUL
_SHORT, _OPEN, _NONE = Verdict.SHORTED, Verdict.INCONCLUSIVE, Verdict.NOT_TESTED

VERDICT_OF_REASON: dict[str, Verdict] = {
    # No reading, or none that may be used.
    "verdict.gate_locked": _NONE,
    "verdict.no_access": _NONE,
    "verdict.berth_occupied": _NONE,
    "verdict.frozen_ground": _NONE,
    "verdict.flooded": _NONE,
    "verdict.storm": _NONE,
    "verdict.ac_too_high": _NONE,
    "verdict.instrument_fault": _NONE,
    "verdict.other_reason": _NONE,
    "verdict.ac_stop": _NONE,
    "verdict.no_reading": _OPEN,
    "verdict.method_unknown": _OPEN,
    "verdict.scope_unfit": _OPEN,
    "verdict.stage_unfit": _OPEN,
    "verdict.not_installed": _OPEN,
    "verdict.tie_in_over": _OPEN,
    "verdict.leads_bad": _OPEN,
    "verdict.leads_not_proved": _OPEN,
    "verdict.no_limit": _OPEN,
    "verdict.no_purpose": _OPEN,
    "verdict.bound_low": _OPEN,
    "verdict.bound_high": _OPEN,
    "verdict.unclear": _OPEN,
    "verdict.potentials_odd": _OPEN,
    "verdict.said_short": _HALF,
    # Methods that never decide.
    "verdict.spark_never": _OPEN,
    "verdict.screen_only": _OPEN,
    "verdict.source_read": _OPEN,
    # Resistance.
    "verdict.resistance_isolating": _YES,
    "verdict.resistance_doubtful": _HALF,
    "verdict.resistance_contact": _SHORT,
    "verdict.joint_isolating": _YES,
    "verdict.joint_doubtful": _HALF,
    "verdict.joint_contact": _SHORT,
    "verdict.ohmmeter_installed": _OPEN,
    "verdict.hanging_isolating": _YES,
    "verdict.hanging_doubtful": _HALF,
    "verdict.hanging_contact": _SHORT,
    # Studs and gasket cores.
    "verdict.stud_isolating": _YES,
    "verdict.stud_doubtful": _HALF,
    "verdict.stud_contact": _SHORT,
    "verdict.stud_contact_installed": _HALF,
    "verdict.stud_plain_side": _OPEN,
    "verdict.stud_ground_path": _OPEN,
    "verdict.layout_unknown": _OPEN,
    "verdict.side_not_named": _OPEN,
    # Potentials.
    "verdict.difference_isolating": _YES,
    "verdict.difference_still": _YES,
    "verdict.difference_under_current": _HALF,
    "verdict.difference_between": _HALF,
    "verdict.difference_shorted": _SHORT,
    "verdict.difference_small": _OPEN,
    "verdict.balanced": _OPEN,
    "verdict.shift_isolating": _YES,
    "verdict.shift_far_opposite": _YES,
    "verdict.shift_doubtful": _HALF,
    "verdict.shift_shorted": _SHORT,
    "verdict.shift_small": _OPEN,
    "verdict.shift_wrong_sign": _OPEN,
    "verdict.shift_sides_swapped": _OPEN,
    "verdict.interrupted_side_missing": _OPEN,
    "verdict.sources_not_named": _OPEN,
    "verdict.too_few_cycles": _OPEN,
    "verdict.unsteady": _OPEN,
    "verdict.both_sides_cycling": _OPEN,
    "verdict.near_side_steady": _OPEN,
    # Currents.
    "verdict.leak_isolating": _YES,
    "verdict.leak_doubtful": _HALF,
    "verdict.leak_shorted": _SHORT,
    "verdict.geometry_missing": _OPEN,
    "verdict.leak_out_of_range": _OPEN,
    # Instruments that show a word.
    "verdict.rf_isolating": _YES,
    "verdict.rf_shorted": _SHORT,
    "verdict.rf_buried": _OPEN,
    "verdict.path_apart": _YES,
    "verdict.path_joining": _SHORT,
}

REASONS: tuple[str, ...] = tuple(VERDICT_OF_REASON)
VERDICTS: Codes = np.array([v.code for v in VERDICT_OF_REASON.values()], np.int16)

# One reason per outcome that gave no reading, in the order of ``Outcome``.
REASON_OF_OUTCOME: dict[Outcome, str] = {
    o: f"verdict.{o.replace(' ', '_').lower()}"
    for o in Outcome
    if o != Outcome.MEASURED
}


def reason_code(reason: str) -> int:
    """Return the place of ``reason`` in ``REASONS``, as columns hold it."""
    return REASONS.index(reason)


def first_of(cases: list[tuple[Flags, str]], otherwise: str) -> Codes:
    """Return per row the code of the first reason whose mask holds."""
    masks = [mask for mask, _ in cases]
    codes = [np.int16(reason_code(reason)) for _, reason in cases]
    return np.select(masks, codes, np.int16(reason_code(otherwise)))
