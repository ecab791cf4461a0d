"""What due dates are reckoned from, as columns."""

from dataclasses import dataclass, fields
from typing import TypeVar

import numpy as np

from jointmap.errors import Problem, Refused
from jointmap.register.codes import Verdict
from jointmap.register.columns import Codes, Days, Flags, Ids, Table, narrow

NO_ROW = -1
# A subject's code stands above its id in one whole number.
_ID_BITS = 48

T = TypeVar("T", bound=Table)


@dataclass(frozen=True, slots=True)
class SubjectColumns(Table):
    """One row per joint, boundary, parallel path or source that may be due."""

    subject: Codes
    subject_id: Ids
    purpose: Codes
    severity: Codes
    structure_kind_a: Codes
    structure_kind_b: Codes
    path_kind: Codes
    is_critical: Flags
    is_protected: Flags  # either side
    starts_on: Days  # in duty, fitted or commissioned; counted from while untested
    is_active: Flags  # in duty; what is not gets no date and no line
    section: Ids  # separately protected short section or service line; 0: none
    area: Codes  # place of its area among all; sections are spread over them


@dataclass(frozen=True, slots=True)
class HistoryColumns(Table):
    """One row per subject and test that says something of it."""

    subject: Codes
    subject_id: Ids
    test_id: Ids
    tested_on: Days
    verdict: Codes
    counts: Flags  # by a method that can decide, with an instrument in date
    credited: Flags  # read elsewhere in its test group


@dataclass(frozen=True, slots=True)
class TriggerColumns(Table):
    """One row per subject and fact that shortens or re-opens; place in ``TRIGGERS``.

    Of an occurrence ``since_on`` is its day. A fact of unknown day (NaT) counts as
    standing all along.
    """

    subject: Codes
    subject_id: Ids
    trigger: Codes
    since_on: Days


@dataclass(frozen=True, slots=True)
class CountingTests(Table):
    """Tests that count, sorted by subject row, then day, a bad one of a day first."""

    row: Ids  # place in SubjectColumns
    test_id: Ids
    tested_on: Days
    verdict: Codes
    credited: Flags


def stack(tables: list[T]) -> T:
    """Return the rows of all ``tables`` (one or more of one kind) as one.

    The list is emptied: each column of the parts is let go once it is in the whole.
    """
    kind, names = type(tables[0]), [f.name for f in fields(tables[0])]  # type: ignore[arg-type]
    # Without a copy where only one has rows: it may have many.
    some = [t for t in tables if len(t)]
    if len(some) == 1:
        return some[0]
    columns = [{n: getattr(t, n) for n in names} for t in tables]
    tables.clear()
    some.clear()
    return kind(**{n: np.concatenate([c.pop(n) for c in columns]) for n in names})


def rows_of(subjects: SubjectColumns, subject: Codes, subject_id: Ids) -> Ids:
    """Return each named subject's row in ``subjects``; -1 where it has none."""
    if len(subjects) == 0:
        return np.full(len(subject), NO_ROW, np.int64)
    own = _keys(subjects.subject, subjects.subject_id)
    order = np.argsort(own, kind="stable")
    own = own[order]
    wanted = _keys(subject, subject_id)
    place = np.minimum(np.searchsorted(own, wanted), len(own) - 1)
    return np.where(own[place] == wanted, order[place], NO_ROW)


def counting_tests(
    subjects: SubjectColumns, history: HistoryColumns, on: np.datetime64
) -> CountingTests:
    """Return the tests up to ``on`` that count, sorted.

    Inconclusive, not tested and lapsed never count, whatever ``counts`` says.

    Raises
    ------
    Refused
        A subject stands in two rows.
    """
    refuse_twice(subjects)
    row = rows_of(subjects, history.subject, history.subject_id)
    keep = history.counts & (history.tested_on <= on) & (row != NO_ROW)
    keep &= (history.verdict >= 0) & (history.verdict <= Verdict.SHORTED.code)
    found = CountingTests(
        narrow(row[keep]),
        history.test_id[keep],
        history.tested_on[keep],
        history.verdict[keep],
        history.credited[keep],
    )
    good = found.verdict == Verdict.ISOLATING
    key = day_key(found.row, found.tested_on) * 2 + good
    return found.take(np.argsort(key, kind="stable"))


def day_key(row: Ids, days: Days) -> Ids:
    """Return one whole number that sorts by row, then by day."""
    # Room for every day of the years 1 to 9999, which is what a date can be.
    origin, end = np.datetime64("0001-01-01", "D"), np.datetime64("9999-12-31", "D")
    # No day sorts last.
    known = np.where(np.isnat(days), end, days)
    return (row.astype(np.int64) << 22) + (known - origin).astype(np.int64)


def _keys(subject: Codes, subject_id: Ids) -> Ids:
    return (subject.astype(np.int64) << _ID_BITS) + subject_id


def refuse_twice(subjects: SubjectColumns) -> None:
    """Raise ``Refused`` if a subject stands in two rows."""
    keys = np.sort(_keys(subjects.subject, subjects.subject_id))
    twice = keys[1:][keys[1:] == keys[:-1]]
    if len(twice):
        count, one = len(twice), int(twice[0]) & ((1 << _ID_BITS) - 1)
        raise Refused(Problem("due.subject_twice", {"count": count, "id": one}))
