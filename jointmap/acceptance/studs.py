"""Judges of one stud, or a gasket's core, against one side."""

import numpy as np

from jointmap.acceptance.bars import Bars, Findings, ResistanceReasons, judge_resistance
from jointmap.acceptance.reasons import first_of, reason_code
from jointmap.register.codes import Layout, Scope, Side, Stage
from jointmap.register.columns import Codes, Flags, ReadingColumns
from jointmap.tables import METHOD_CODES

_REASONS = ResistanceReasons(
    "verdict.stud_isolating", "verdict.stud_doubtful", "verdict.stud_contact"
)
_ALONE_STAGES = [s.code for s in (Stage.BENCH, Stage.BEFORE_TIE_IN)]
_ALONE_METHOD = METHOD_CODES["radio-frequency"]


def seen_alone(tests: ReadingColumns) -> Flags:
    """Return whether a reading to one side sees that side and nothing else.

    Otherwise it includes the other side in series with the ground: with side B lost
    (0.5 ohm) and 2 ohm of ground, side A reads 2.5 ohm however good it is.
    """
    before: Flags = np.isin(tests.stage, _ALONE_STAGES)
    before |= tests.method == _ALONE_METHOD
    return before


def is_plain_side(layout: Codes, side: Codes) -> Flags:
    """Return whether a one-side kit has no washer on that side: contact by design."""
    plain_b: Flags = (layout == Layout.ONE_SIDE_A) & (side == Side.B)
    plain_a: Flags = (layout == Layout.ONE_SIDE_B) & (side == Side.A)
    return plain_a | plain_b


def is_one_side(layout: Codes) -> Flags:
    """Return whether the kit has washers on one side only."""
    return np.isin(layout, [Layout.ONE_SIDE_A.code, Layout.ONE_SIDE_B.code])


def judge_stud(tests: ReadingColumns, bars: Bars) -> Findings:
    """Judge one side of one stud by the kit's layout, or one side of a gasket's core.

    A high reading proves the side. A low one condemns it only where it is seen alone;
    installed, it shows that one of the two sides is lost, not which.
    """
    found = judge_resistance(tests, bars, _REASONS)
    contact = found.reason == reason_code(_REASONS.contact)
    low = contact | (found.reason == reason_code(_REASONS.doubtful))
    stud, alone = tests.scope == Scope.STUD, seen_alone(tests)
    unknown = (tests.layout < 0) | (tests.layout == Layout.UNKNOWN)
    cases = [
        (tests.side < 0, "verdict.side_not_named"),
        (stud & is_plain_side(tests.layout, tests.side), "verdict.stud_plain_side"),
        (low & stud & unknown, "verdict.layout_unknown"),
        (low & stud & is_one_side(tests.layout) & ~alone, "verdict.stud_ground_path"),
        (contact & ~alone, "verdict.stud_contact_installed"),
    ]
    ruled = np.logical_or.reduce([mask for mask, _ in cases])
    reason = np.where(ruled, first_of(cases, _REASONS.doubtful), found.reason)
    return found._replace(reason=reason)
