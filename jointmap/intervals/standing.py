"""Where each subject stands: its last test that counts, and what shortens it."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from jointmap.intervals.calendar import add_months
from jointmap.intervals.facts import (
    NO_ROW,
    CountingTests,
    SubjectColumns,
    TriggerColumns,
    rows_of,
)
from jointmap.register.codes import Verdict
from jointmap.register.columns import Codes, Days, Flags, Ids, Table
from jointmap.register.rule_codes import LAST_DOUBTFUL, LAST_SHORTED, TRIGGERS

# numpy keeps NaT as the least whole number, so a greatest day of none comes out as NaT.
_NAT = np.iinfo(np.int64).min


@dataclass(frozen=True, slots=True)
class Standing(Table):
    """One row per subject: what its next date counts from."""

    last_on: Days  # last test that counts; NaT: none
    last_verdict: Codes  # its verdict; of one day the test recorded last
    counts_from_on: Days  # the last test, else the start; NaT: neither
    is_from_start: Flags  # no test that counts


@dataclass(frozen=True, slots=True)
class Raised(Table):
    """One row per subject row and trigger."""

    row: Ids
    trigger: Codes
    since_on: Days


def standing_of(subjects: SubjectColumns, tests: CountingTests) -> Standing:
    """Return the standing of each subject; a shorted result moves the clock too."""
    rows = len(subjects)
    last_on = latest(tests.row, tests.tested_on, rows)
    is_last = tests.tested_on == last_on[tests.row]
    last_id = _greatest(tests.row, np.where(is_last, tests.test_id, 0), rows, 0)
    is_last &= tests.test_id == last_id[tests.row]
    verdict = _greatest(tests.row, np.where(is_last, tests.verdict, -1), rows, -1)
    untested = np.isnat(last_on)
    return Standing(
        last_on,
        verdict.astype(np.int16),
        np.where(untested, subjects.starts_on, last_on),
        untested,
    )


def raised_on(
    subjects: SubjectColumns,
    tests: CountingTests,
    triggers: TriggerColumns,
    on: np.datetime64,
) -> Raised:
    """Return what was raised up to ``on``, bad results of the subject's own included.

    A bad reading of its test group condemns no joint in particular and raises nothing.
    A shorted result is doubtful as well, so a worse verdict never shortens less.
    """
    row = rows_of(subjects, triggers.subject, triggers.subject_id)
    keep = (row != NO_ROW) & ~(triggers.since_on > on)
    parts = [(row[keep], triggers.trigger[keep], triggers.since_on[keep])]
    for word, worst in (
        (LAST_SHORTED, Verdict.SHORTED),
        (LAST_DOUBTFUL, Verdict.DOUBTFUL),
    ):
        bad = tests.take((tests.verdict >= worst.code) & ~tests.credited)
        since_on = latest(bad.row, bad.tested_on, len(subjects))
        at = np.flatnonzero(~np.isnat(since_on))
        code = np.full(len(at), TRIGGERS.index(word), np.int16)
        parts.append((at, code, since_on[at]))
    return Raised(*(np.concatenate(column) for column in zip(*parts, strict=True)))


def good_pair_from(tests: CountingTests, rows: int, months: int) -> Days:
    """Return each row's latest good test that opens a good pair; NaT: none.

    A pair is two good tests at least ``months`` apart with no bad one between.
    """
    good = tests.verdict == Verdict.ISOLATING
    # A bad test opens a run; the good ones after it end on the day they would alone.
    new = np.ones(len(tests), np.bool_)
    new[1:] = (tests.row[1:] != tests.row[:-1]) | ~good[1:]
    first = np.flatnonzero(new)
    length = np.diff(first, append=len(tests))
    run_ends_on = np.repeat(tests.tested_on[first + length - 1], length)
    opens = good & (run_ends_on >= add_months(tests.tested_on, months))
    return latest(tests.row[opens], tests.tested_on[opens], rows)


def latest(row: Ids, days: Days, rows: int) -> Days:
    """Return the latest of ``days`` per row, for ``row`` in rising order; NaT: none."""
    found = _greatest(row, days.astype(np.int64), rows, _NAT)
    return found.astype("datetime64[D]")


def _greatest(
    row: Ids, values: npt.NDArray[np.integer], rows: int, none: int
) -> npt.NDArray[np.int64]:
    found = np.full(rows, none, np.int64)
    first = np.flatnonzero(np.diff(row, prepend=-1))
    if len(first):
        found[row[first]] = np.maximum.reduceat(values, first)
    return found
