"""Columns for the tests of due dates, written short: a joint unless said otherwise."""

import datetime as dt
from collections.abc import Sequence

import numpy as np

from jointmap.due_list import Credit
from jointmap.intervals import (
    TRIGGERS,
    HistoryColumns,
    SubjectColumns,
    TriggerColumns,
    rule_columns,
    rule_in_force,
    rules_ever,
)
from jointmap.register import Rule
from jointmap.register.codes import (
    Basis,
    Mark,
    PathKind,
    Purpose,
    Severity,
    StructureKind,
    Subject,
    Verdict,
)
from jointmap.register.columns import RuleColumns
from jointmap.register.rule_codes import RuleShape

SINCE = dt.date(2000, 1, 1)
ON = dt.date(2026, 5, 15)
NORMAL = (
    "cfr-192.465a-joint",
    "owner-protection-normal",
    "owner-shorten-last-result-shorted",
    "owner-shorten-last-result-doubtful",
    "owner-shorten-storm",
    "owner-shorten-wrong-lubricant",
    "owner-after-storm",
    "owner-restore",
    "owner-floor",
)


def days(*texts: str) -> np.ndarray:
    return np.array(texts, "datetime64[D]")


def codes(words: Sequence[object]) -> np.ndarray:
    return np.array([-1 if w is None else w.code for w in words], np.int16)


def subject(  # one row
    id: int = 1,
    kind: Subject = Subject.JOINT,
    *,
    purpose: Purpose | None = Purpose.PROTECTION,
    severity: Severity | None = Severity.NORMAL,
    sides: tuple[StructureKind | None, StructureKind | None] = (None, None),
    path_kind: PathKind | None = None,
    is_critical: bool = False,
    is_protected: bool = True,
    starts_on: str = "NaT",
    is_active: bool = True,
    section: int = 0,
    area: int = 0,
) -> SubjectColumns:
    return SubjectColumns(
        codes([kind]),
        np.array([id]),
        codes([purpose]),
        codes([severity]),
        codes([sides[0]]),
        codes([sides[1]]),
        codes([path_kind]),
        np.array([is_critical]),
        np.array([is_protected]),
        days(starts_on),
        np.array([is_active]),
        np.array([section]),
        np.array([area], np.int16),
    )


def history(*tests: tuple) -> HistoryColumns:
    """Rows of (subject id, day, verdict, and optionally counts, credited, kind)."""
    full = [(*t, *(True, False, Subject.JOINT)[len(t) - 3 :]) for t in tests]
    ids, tested, verdicts, counts, credited, kinds = (
        zip(*full, strict=True) if full else ([],) * 6
    )
    return HistoryColumns(
        codes(kinds),
        np.array(ids, np.int64),
        np.arange(1, len(full) + 1),
        days(*tested),
        codes(verdicts),
        np.array(counts, np.bool_),
        np.array(credited, np.bool_),
    )


def triggers(*raised: tuple[int, str, str]) -> TriggerColumns:
    """Rows of (joint id, trigger, day)."""
    ids, words, since = zip(*raised, strict=True) if raised else ([],) * 3
    return TriggerColumns(
        codes([Subject.JOINT] * len(ids)),
        np.array(ids, np.int64),
        np.array([TRIGGERS.index(w) for w in words], np.int16),
        days(*since),
    )


def rules(*names: str, on: dt.date = ON) -> RuleColumns:
    """Rules of the catalogue in force, numbered from 1."""
    own = {i: rule_in_force(n, SINCE) for i, n in enumerate(names, start=1)}
    return rule_columns(own, on)


def own_rule(**changes: object) -> Rule:
    """A rule of the owner's own; every field not given is what a plain one has."""
    plain = {
        "name": "own",
        "from_on": SINCE,
        "shape": RuleShape.PLAIN_MONTHS,
        "basis": Basis.OWNER,
        "subject": Subject.JOINT,
        "source": "owner's procedure",
        "mark": Mark.OWNER_CHOICE,
    }
    return Rule(**{**plain, **changes})


def own_rules(*changes: dict, on: dt.date = ON, ended: bool = False) -> RuleColumns:
    own = {i: own_rule(**c) for i, c in enumerate(changes, start=1)}
    return rules_ever(own, on) if ended else rule_columns(own, on)


GOOD, DOUBTFUL, SHORTED = Verdict.ISOLATING, Verdict.DOUBTFUL, Verdict.SHORTED


def credit(group, x_metre=None, gives=None, takes=None):
    """Items that credit all others of their group, if nothing else is given."""
    group = np.array(group, np.int64)
    count, yes = len(group), np.ones(len(group), np.bool_)
    return Credit(
        group,
        np.zeros(count) if x_metre is None else np.array(x_metre),
        np.zeros(count),
        yes if gives is None else np.array(gives),
        yes if takes is None else np.array(takes),
    )
