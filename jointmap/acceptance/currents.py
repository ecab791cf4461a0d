"""Judges of current: the share of a test current that crosses, a source's output."""

import numpy as np

from jointmap.acceptance.bars import Bars, Findings, findings, unmeasured
from jointmap.acceptance.reasons import first_of
from jointmap.register.codes import LimitRole
from jointmap.register.columns import ReadingColumns

# A share outside these is no share: a wrong span factor, or the wrong geometry.
LEAST_SHARE, MOST_SHARE = -0.1, 1.1


def judge_leakage(tests: ReadingColumns, bars: Bars) -> Findings:
    """Judge the share of a test current that crosses the joint (ratio).

    With the span between connection and joint, what the span carries has crossed; with
    the span beyond the joint, what it misses has.
    """
    given = tests.test_current_ampere > 0
    carried = tests.span_current_ampere / np.where(
        given, tests.test_current_ampere, np.nan
    )
    leak = np.where(tests.geometry == 0, carried, 1.0 - carried).round(9)
    most = bars.of(LimitRole.ISOLATING_AT_MOST, tests.purpose)
    short = bars.of(LimitRole.SHORTED_ABOVE, tests.purpose)
    reason = first_of(
        [
            (np.isnan(leak), "verdict.no_reading"),
            (tests.geometry < 0, "verdict.geometry_missing"),
            ((leak < LEAST_SHARE) | (leak > MOST_SHARE), "verdict.leak_out_of_range"),
            (leak > short.value, "verdict.leak_shorted"),
            (~most.known, "verdict.no_limit"),
            (leak <= most.value, "verdict.leak_isolating"),
        ],
        "verdict.leak_doubtful",
    )
    return findings(reason, leak, (short, "verdict.leak_shorted"), most)


def judge_source(tests: ReadingColumns, bars: Bars) -> Findings:  # noqa: ARG001
    """Note that a source's output was read; it says nothing of isolation."""
    missing = np.isnan(tests.test_current_ampere)
    return unmeasured(
        first_of([(missing, "verdict.no_reading")], "verdict.source_read")
    )
