"""Judges of instruments and eyes that give a word, and of methods that never decide."""

import numpy as np

from jointmap.acceptance.bars import Bars, Findings, unmeasured
from jointmap.acceptance.reasons import first_of, reason_code
from jointmap.acceptance.studs import is_plain_side
from jointmap.register.codes import Indication, Scope, Stage
from jointmap.register.columns import Codes, Flags, ReadingColumns

_NOT_YET_BURIED = [s.code for s in (Stage.BENCH, Stage.BEFORE_TIE_IN)]


def judge_radio_frequency(tests: ReadingColumns, bars: Bars) -> Findings:  # noqa: ARG001
    """Judge a radio-frequency test at the fitting: local, so not on a buried joint."""
    buried = tests.is_buried & ~np.isin(tests.stage, _NOT_YET_BURIED)
    stud = tests.scope == Scope.STUD
    plain = stud & is_plain_side(tests.layout, tests.side)
    no_side = stud & (tests.side < 0)
    first = [
        (buried, "verdict.rf_buried"),
        (no_side, "verdict.side_not_named"),
        (plain, "verdict.stud_plain_side"),
    ]
    return unmeasured(
        _shown(tests, first, "verdict.rf_isolating", "verdict.rf_shorted")
    )


def judge_radio_frequency_leads(
    tests: ReadingColumns,
    bars: Bars,  # noqa: ARG001
) -> Findings:
    """Judge a radio-frequency test through leads of a buried joint."""
    return unmeasured(_shown(tests, [], "verdict.rf_isolating", "verdict.rf_shorted"))


def judge_path(tests: ReadingColumns, bars: Bars) -> Findings:  # noqa: ARG001
    """Judge a check of a parallel path: it is apart, or it joins the two sides."""
    return unmeasured(_shown(tests, [], "verdict.path_apart", "verdict.path_joining"))


def judge_screen(tests: ReadingColumns, bars: Bars) -> Findings:  # noqa: ARG001
    """Judge a quick screen: it never decides."""
    return unmeasured(_always(tests, "verdict.screen_only"))


def judge_spark(tests: ReadingColumns, bars: Bars) -> Findings:  # noqa: ARG001
    """Judge a spark test: it shows nothing useful and can do harm."""
    return unmeasured(_always(tests, "verdict.spark_never"))


def _always(tests: ReadingColumns, reason: str) -> Codes:
    return np.full(len(tests), reason_code(reason), np.int16)


def _shown(
    tests: ReadingColumns, first: list[tuple[Flags, str]], apart: str, joined: str
) -> Codes:
    shown = tests.indication
    return first_of(
        [
            *first,
            (shown == Indication.NO_SHORT, apart),
            (shown == Indication.SHORT, joined),
            (shown == Indication.UNCLEAR, "verdict.unclear"),
        ],
        "verdict.no_reading",
    )
