"""A verdict on every test: the method's judge first, then the rules common to all."""

from collections.abc import Callable

import numpy as np

from jointmap.acceptance.bars import Bar, Bars, Findings
from jointmap.acceptance.currents import judge_leakage, judge_source
from jointmap.acceptance.indications import (
    judge_path,
    judge_radio_frequency,
    judge_radio_frequency_leads,
    judge_screen,
    judge_spark,
)
from jointmap.acceptance.plausible import odd_potentials
from jointmap.acceptance.potentials import Potentials, judge_difference, judge_shift
from jointmap.acceptance.reasons import REASON_OF_OUTCOME, VERDICTS, reason_code
from jointmap.acceptance.resistances import judge_bare, judge_installed, judge_ohmmeter
from jointmap.acceptance.studs import judge_stud
from jointmap.register.codes import (
    Indication,
    LimitRole,
    Purpose,
    Scope,
    Stage,
    Verdict,
)
from jointmap.register.columns import Codes, Flags, LimitColumns, ReadingColumns
from jointmap.register.judged import Judgements
from jointmap.register.paper_states import lets_count
from jointmap.register.stages import BEFORE_INSTALLED_CODES, NOT_IN_PLACE_CODES
from jointmap.tables import METHOD_CODES, METHODS, Method

Judge = Callable[[ReadingColumns, Bars], Findings]

JUDGES: dict[str, Judge] = {
    "insulation-resistance": judge_bare,
    "spark": judge_spark,
    "radio-frequency": judge_radio_frequency,
    "radio-frequency-leads": judge_radio_frequency_leads,
    "potential-difference": judge_difference,
    "potential-shift": judge_shift,
    "joint-resistance": judge_installed,
    "span-current": judge_leakage,
    "hum": judge_screen,
    "pipe-locator": judge_screen,
    "stud-resistance": judge_stud,
    "core-resistance": judge_stud,
    "ohmmeter": judge_ohmmeter,
    "surge-device-check": judge_path,
    "bond-check": judge_path,
    "look": judge_path,
    "source-output": judge_source,
}

ANY_METHOD = -1
DECIDING = (Verdict.ISOLATING, Verdict.DOUBTFUL, Verdict.SHORTED)
_SHIFT = METHOD_CODES["potential-shift"]
_BY_POTENTIALS = [_SHIFT, METHOD_CODES["potential-difference"]]
# A look and a source's own meter touch no metal that AC could have made live.
_HANDS_OFF = [METHOD_CODES[code] for code in ("look", "source-output")]
# As ``ReadingColumns.leads_proven`` has it.
UNPROVED = 2
_THROUGH_LEADS = np.array(
    [m.tells == "boundary" or m.code == "radio-frequency-leads" for m in METHODS]
    + [False]
)
_NEEDS_PURPOSE = ("device", "boundary")
_OF_ISOLATION = ("device", "boundary", "stud", "path")
# Where a number is missing, or too little is known to weigh it.
_NOT_DECIDED = [
    reason_code(f"verdict.{name}")
    for name in ("no_reading", "no_limit", "bound_low", "bound_high")
]


def judge(tests: ReadingColumns, limits: LimitColumns) -> Judgements:
    """Return what may be concluded from each test, by the limits in force.

    Parameters
    ----------
    tests
        Any number of rows, any methods mixed; their order does not matter.
    limits
        The limits in force on the day asked about, in SI.

    Returns
    -------
    Judgements
        One row per test. ``counts`` is false where a paper of the person or of the
        instrument does not let it count, and for a kit that is not yet in place; it is
        true for a source's output, although that is `inconclusive` as to isolation.
        Leads known to be bad block, and so do leads that nobody has proved: a broken
        one imitates isolation. ``electrode_known`` is not asked: a difference read with
        one unmoved electrode needs no conversion. What a tester called short is never
        isolating by its numbers. A stage before the joint was installed decides nothing
        by a method that sees what is installed, and none that was made when the joint
        was in duty long since.
    """
    found = _by_method(tests, limits)
    _rule(found, _said_short(tests, found), "verdict.said_short")
    _rule(found, _odd(tests, found), "verdict.potentials_odd")
    _rule(found, ~_in_place(tests), "verdict.scope_unfit")
    _rule(found, ~_in_time(tests), "verdict.stage_unfit")
    _rule(found, _without_purpose(tests, found), "verdict.no_purpose")
    _rule(found, _through_unproved_leads(tests), "verdict.leads_not_proved")
    _rule(found, tests.leads_proven == 0, "verdict.leads_bad")
    _rule(found, tests.tie_in_over, "verdict.tie_in_over")
    _rule(found, ~_in_time(tests) & _before_installed(tests), "verdict.not_installed")
    _rule(found, tests.method < 0, "verdict.method_unknown")
    _stop_for_ac(tests, limits, found)
    for outcome, reason in REASON_OF_OUTCOME.items():
        _rule(found, tests.outcome == outcome.code, reason)
    verdict = VERDICTS[found.reason]
    return Judgements(
        verdict,
        found.reason,
        found.limit_id,
        found.compared,
        found.against,
        _counts(tests, verdict, found.reason),
        _tells(("device", "stud"))[tests.method],
    )


def _by_method(tests: ReadingColumns, limits: LimitColumns) -> Findings:
    rows = len(tests)
    found = Findings(
        np.full(rows, reason_code("verdict.method_unknown"), np.int16),
        np.full(rows, np.nan),
        np.full(rows, np.nan),
        np.zeros(rows, np.int64),
    )
    for method, code in METHOD_CODES.items():
        mine = np.flatnonzero(tests.method == code)
        if len(mine):
            part = JUDGES[method](tests.take(mine), Bars(limits, code))
            found.reason[mine] = part.reason
            found.compared[mine] = part.compared
            found.against[mine] = part.against
            found.limit_id[mine] = part.limit_id
    return found


def _rule(found: Findings, rows: Flags, reason: str) -> None:
    """Let ``reason`` stand for the given rows: no number decided them."""
    found.reason[rows] = reason_code(reason)
    found.compared[rows] = np.nan
    found.against[rows] = np.nan
    found.limit_id[rows] = 0


def _said_short(tests: ReadingColumns, found: Findings) -> Flags:
    """Return what the tester called short, where no number says whether it is.

    A word is less than a reading, but it is never passed over for a good one.
    """
    good = VERDICTS[found.reason] == Verdict.ISOLATING
    open_ = np.isin(found.reason, _NOT_DECIDED) & _tells(_OF_ISOLATION)[tests.method]
    said: Flags = (tests.indication == Indication.SHORT) & (good | open_)
    return said


def _odd(tests: ReadingColumns, found: Findings) -> Flags:
    """Return what passed by potentials that cannot be beside each other.

    What they call bad stays an alarm.
    """
    odd: Flags = np.isin(tests.method, _BY_POTENTIALS)
    odd &= VERDICTS[found.reason] == Verdict.ISOLATING
    rows = np.flatnonzero(odd)
    side = np.where(tests.method == _SHIFT, tests.interrupted_side, np.int16(-1))[rows]
    read = {n: getattr(tests, n)[rows] for n in Potentials._fields[:4]}
    ways = odd_potentials(Potentials(**read, interrupted_side=side))
    odd[rows] = np.logical_or.reduce([way.rows for way in ways])
    return odd


def _per_method(asked: Callable[[Method], bool]) -> Flags:
    """Return one flag per method, and false at -1 for a method not known."""
    return np.array([asked(m) for m in METHODS] + [False])


def _tells(about: tuple[str, ...]) -> Flags:
    return _per_method(lambda m: m.tells in about)


def _fits(tests: ReadingColumns, codes: Codes, words: type[Scope | Stage]) -> Flags:
    """Return whether each test's scope or stage is one its method can decide at."""
    named = [m.scopes if words is Scope else m.stages for m in METHODS]
    fit = np.array([[not n or str(w) in n for w in words] for n in [*named, ()]])
    known: Flags = fit[tests.method, codes]
    return known


def _in_place(tests: ReadingColumns) -> Flags:
    return _fits(tests, tests.scope, Scope)


def _in_time(tests: ReadingColumns) -> Flags:
    return _fits(tests, tests.stage, Stage)


def _before_installed(tests: ReadingColumns) -> Flags:
    return np.isin(tests.stage, BEFORE_INSTALLED_CODES)


def _through_unproved_leads(tests: ReadingColumns) -> Flags:
    """Return what was read through leads that nobody has proved.

    At a buried joint in service nothing else can be touched, named or not.
    """
    unnamed: Flags = (tests.leads_proven < 0) & tests.is_buried
    unnamed &= _THROUGH_LEADS[tests.method]
    unnamed |= tests.leads_proven == UNPROVED
    return unnamed


def _without_purpose(tests: ReadingColumns, found: Findings) -> Flags:
    unstated: Flags = (tests.purpose < 0) | (tests.purpose == Purpose.NOT_STATED)
    verdict = VERDICTS[found.reason]
    passing = np.isin(verdict, [v.code for v in DECIDING[:2]])
    return unstated & passing & _tells(_NEEDS_PURPOSE)[tests.method]


def _stop_for_ac(tests: ReadingColumns, limits: LimitColumns, found: Findings) -> None:
    bar: Bar = Bars(limits, ANY_METHOD).of(LimitRole.STOP_AT_LEAST, tests.purpose)
    stop = (tests.ac_volt >= bar.value) & ~np.isin(tests.method, _HANDS_OFF)
    _rule(found, stop, "verdict.ac_stop")
    found.compared[stop] = tests.ac_volt[stop]
    found.against[stop] = bar.value[stop]
    found.limit_id[stop] = bar.limit_id[stop]


def _counts(tests: ReadingColumns, verdict: Codes, reason: Codes) -> Flags:
    decides: Flags = np.isin(verdict, [v.code for v in DECIDING])
    decides |= reason == reason_code("verdict.source_read")
    decides &= ~np.isin(tests.stage, NOT_IN_PLACE_CODES)
    decides &= lets_count(tests.person_paper) & lets_count(tests.instrument_paper)
    return decides
