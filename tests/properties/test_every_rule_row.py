"""Each row of the rule catalogue, changed: dates move where and only where it governs.

A population of every sort of subject is judged under the whole catalogue; who a row
governs is read from the row's words by the plain function ``governed``, which shares
nothing with the columns that the program reckons with.
"""

from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import pytest

from jointmap.due_list import build
from jointmap.intervals import (
    CLOCK_SHAPES,
    NEXT_REQUIRED_TEST,
    PERMIT_RECEIVED,
    TRIGGERS,
    HistoryColumns,
    TriggerColumns,
    clocks,
    refuses_credit,
    stack,
)
from jointmap.register.codes import (
    PathKind,
    Purpose,
    Severity,
    StructureKind,
    Subject,
)
from jointmap.register.rule_codes import SIDE_LOST, RuleShape
from jointmap.tables.interval_rules import RULES
from tests.due_samples import DOUBTFUL, GOOD, ON, SHORTED, codes, days, rules, subject

NAMES = list(RULES)
LIMITS = ("calendar years", "plain months", "six a year", "before next use")
CLOCKS = tuple(str(shape) for shape in CLOCK_SHAPES)
TESTED = (
    ((GOOD, "2025-09-10"),),
    ((SHORTED, "2026-02-20"),),
    # Four months apart: a restore rule of six does not end what was doubtful.
    ((DOUBTFUL, "2025-02-01"), (GOOD, "2025-06-01"), (GOOD, "2025-10-01")),
)
RAISED_ON = "2026-01-15"


@dataclass(frozen=True)
class One:
    """A subject in words."""

    kind: Subject
    purpose: Purpose | None = None
    severity: Severity | None = None
    path_kind: PathKind | None = None
    is_critical: bool = False
    is_protected: bool = True
    side: StructureKind | None = None
    section: int = 0
    trigger: str = ""
    tested: int = 0


def everyone():
    for tested in range(len(TESTED)):
        for protected in (True, False):
            base = {"tested": tested, "is_protected": protected}
            yield One(Subject.SOURCE, **base)
            for purpose in Purpose:
                for side in (None, StructureKind.PIPELINE_SECTION, StructureKind.JETTY):
                    yield One(Subject.BOUNDARY, purpose, side=side, **base)
                for severity in (*Severity, None):
                    yield One(Subject.JOINT, purpose, severity, **base)
            # Short sections protected by themselves: what may be tested by tenths.
            for n in range(1, 13):
                yield One(Subject.JOINT, Purpose.SERVICE_LINE, section=n, **base)
                yield One(Subject.BOUNDARY, Purpose.SERVICE_LINE, section=n, **base)
            for kind in PathKind:
                for critical in (True, False):
                    yield One(
                        Subject.PATH, path_kind=kind, is_critical=critical, **base
                    )
    for tested, trigger in ((t, w) for w in TRIGGERS for t in range(len(TESTED))):
        yield One(
            Subject.JOINT,
            Purpose.PROTECTION,
            Severity.NORMAL,
            trigger=trigger,
            tested=tested,
        )
        yield One(
            Subject.PATH,
            path_kind=PathKind.SURGE_DEVICE,
            trigger=trigger,
            tested=tested,
        )


EVERYONE = tuple(everyone())
IDS = np.arange(1, len(EVERYONE) + 1)
SUBJECTS = stack(
    [
        subject(
            int(id_),
            one.kind,
            purpose=one.purpose,
            severity=one.severity,
            path_kind=one.path_kind,
            is_critical=one.is_critical,
            is_protected=one.is_protected,
            sides=(None, one.side),
            section=one.section,
        )
        for id_, one in zip(IDS, EVERYONE, strict=True)
    ]
)


def whole_history():
    rows = [
        (one.kind, id_, verdict, day)
        for id_, one in zip(IDS, EVERYONE, strict=True)
        for verdict, day in TESTED[one.tested]
    ]
    kinds, ids, verdicts, tested = zip(*rows, strict=True)
    yes = np.ones(len(rows), np.bool_)
    return HistoryColumns(
        codes(kinds), np.array(ids), np.arange(len(rows)), days(*tested),
        codes(verdicts), yes, ~yes,
    )  # fmt: skip


def whole_triggers():
    own = [(i, o) for i, o in zip(IDS, EVERYONE, strict=True) if o.trigger]
    return TriggerColumns(
        codes([o.kind for _, o in own]),
        np.array([i for i, _ in own]),
        np.array([TRIGGERS.index(o.trigger) for _, o in own], np.int16),
        days(*[RAISED_ON] * len(own)),
    )


HISTORY, RAISED = whole_history(), whole_triggers()
EVERY = rules(*NAMES)


def due(book):
    items, found = build(SUBJECTS, HISTORY, RAISED, book, ON, 30, 10)
    return items, found


@cache
def before():
    return due(EVERY)


def applies(row, one):
    """Whether a row's own words name this subject."""
    return (
        row.subject == str(one.kind)
        and row.purpose in ("", str(one.purpose))
        and row.severity in ("", str(one.severity))
        and row.path_kind in ("", str(one.path_kind))
        and row.structure_kind in ("", str(one.side))
        and (one.is_critical or not row.critical_only)
        and (one.is_protected or not row.protected_only)
    )


def raised(one):
    """Every trigger that stands on a subject."""
    own = {"last result shorted", "last result doubtful or shorted"}
    bad = ({*()}, own, {"last result doubtful or shorted"})[one.tested]
    return {one.trigger, *bad} - {""}


def has_owner_base(one):
    return any(
        applies(row, one)
        for row in RULES.values()
        if row.shape == "plain months" and row.basis == "owner procedure"
    )


def governed(row, one):  # noqa: PLR0911 - one for each shape
    """Whether a row gives this subject a date, by its words alone."""
    if not applies(row, one):
        return False
    if row.shape == "multiplier":
        return row.trigger in raised(one) and has_owner_base(one)
    if row.shape == "after occurrence":
        last = max(day for _, day in TESTED[one.tested])
        return row.trigger == one.trigger and last <= RAISED_ON
    if row.shape == "a tenth a year":
        return one.section > 0
    if one.section and is_yearly_survey(row):
        return False
    return row.shape in LIMITS


def is_yearly_survey(row):
    """The yearly clock of the clause that also has the tenths in its place."""
    yearly = row.shape == "calendar years" and row.years == 1
    return yearly and (row.source, row.clause) == ("49 CFR", "192.465(a)")


def who(row):
    return np.array([governed(row, one) for one in EVERYONE])


def with_number(name, **numbers):
    """The catalogue with other numbers in one row; its id stays."""
    at = np.flatnonzero(EVERY.rule_id == NAMES.index(name) + 1)
    columns = {n: getattr(EVERY, n).copy() for n in numbers}
    for column, value in numbers.items():
        columns[column][at] = value
    return replace(EVERY, **columns)


def shorter(name):  # noqa: PLR0911 - one for each shape
    """Numbers of a row that make each of its dates earlier."""
    row = RULES[name]
    if row.shape == "calendar years":
        return {"months": 1}
    if row.shape == "a tenth a year":
        return {"years": 1}
    if row.shape in ("plain months", "before next use"):
        return {"months": row.months - 1} if row.months > 1 else {"days": 1}
    if row.shape == "six a year":
        return {"months": 1, "days": 1}
    if row.shape == "multiplier":
        return {"factor": row.factor / 3}
    return {"days": row.days - 1}


def own_dates(found, name):
    """Each subject's earliest date by one rule; NaT where it gives none."""
    mine = found.take(found.rule_id == NAMES.index(name) + 1)
    dates = np.full(len(EVERYONE), np.iinfo(np.int64).max)
    np.minimum.at(dates, mine.row, mine.last_allowed_on.astype(np.int64))
    return dates


def with_dates(shapes):
    return [n for n in NAMES if RULES[n].shape in shapes]


DATED = with_dates((*LIMITS, "a tenth a year", "multiplier", "after occurrence"))


@pytest.mark.parametrize("name", DATED)
def test_a_row_gives_dates_to_whom_its_words_name_and_to_no_one_else(name):
    has_own = own_dates(before()[1], name) < np.iinfo(np.int64).max
    assert has_own.tolist() == who(RULES[name]).tolist()
    assert has_own.any() == (RULES[name].subject != "site")


@pytest.mark.parametrize("name", DATED)
def test_a_shorter_row_moves_the_governed_and_no_one_else(name):
    old, found = before()
    new, again = due(with_number(name, **shorter(name)))
    earlier = own_dates(again, name) < own_dates(found, name)
    if RULES[name].shape not in ("multiplier", "a tenth a year"):
        assert earlier.tolist() == who(RULES[name]).tolist()
    # A shortened interval may stand at its floor already, a turn may come next year.
    assert (own_dates(again, name) <= own_dates(found, name)).all()
    others = found.take(found.rule_id != NAMES.index(name) + 1)
    same = again.take(again.rule_id != NAMES.index(name) + 1)
    # What an owner's own row shortens hangs on it; all other dates stay.
    hangs = others.base_rule_id == NAMES.index(name) + 1
    assert (same.last_allowed_on == others.last_allowed_on)[~hangs].all()
    moved = ~same_day(new.last_allowed_on, old.last_allowed_on)
    assert not moved[~who(RULES[name])].any()
    first = np.full(len(EVERYONE), np.iinfo(np.int64).max)
    np.minimum.at(first, again.row, again.last_allowed_on.astype(np.int64))
    dated = ~np.isnat(new.last_allowed_on)
    assert (new.last_allowed_on[dated].astype(np.int64) == first[dated]).all()
    assert (moved == (first != own_first(found))).all()


def own_first(found):
    first = np.full(len(EVERYONE), np.iinfo(np.int64).max)
    np.minimum.at(first, found.row, found.last_allowed_on.astype(np.int64))
    return first


@pytest.mark.parametrize("name", NAMES)
def test_without_a_row_only_those_it_governed_move(name):
    old, found = before()
    id_ = NAMES.index(name) + 1
    new, _ = due(EVERY.take(EVERY.rule_id != id_))
    chosen = found.take(old.governing[old.governing >= 0])
    rests = (chosen.rule_id == id_) | (chosen.base_rule_id == id_)
    if RULES[name].shape in ("restore", "floor"):
        rests = chosen.base_rule_id > 0
    hung = np.zeros(len(EVERYONE), np.bool_)
    hung[np.flatnonzero(old.governing >= 0)] = rests
    moved = ~same_day(new.last_allowed_on, old.last_allowed_on)
    assert not moved[~hung].any()
    if RULES[name].shape not in ("restore", "floor"):
        left = own_first(
            found.take((found.rule_id != id_) & (found.base_rule_id != id_))
        )
        should = hung & (left != own_first(found))
        assert moved.tolist() == should.tolist()


def same_day(a, b):
    return (a == b) | (np.isnat(a) & np.isnat(b))


def test_restore_ends_sooner_and_floor_holds_for_the_shortened_only():
    old, found = before()
    shortened = np.zeros(len(EVERYONE), np.bool_)
    shortened[found.row[found.base_rule_id > 0]] = True
    for name, numbers in (
        ("owner-restore", {"months": 3}),
        ("owner-floor", {"months": 4}),
    ):
        new, _ = due(with_number(name, **numbers))
        moved = ~same_day(new.last_allowed_on, old.last_allowed_on)
        assert moved.any()
        assert not moved[~shortened].any()
        assert (new.last_allowed_on[moved] > old.last_allowed_on[moved]).all()


def test_the_margin_moves_planning_days_and_no_last_allowed_day():
    old, _ = before()
    new, _ = due(with_number("owner-margin", days=45))
    dated = ~np.isnat(old.last_allowed_on)
    assert same_day(new.last_allowed_on, old.last_allowed_on).all()
    # Where an interval is shorter than the margin it is planned from its start.
    assert (new.planning_on[dated] <= old.planning_on[dated]).all()
    assert (new.planning_on[dated] < old.planning_on[dated]).mean() > 0.5


BAD_ON = days(*["2026-03-01"] * len(EVERYONE))


COUNTED_FROM = {NEXT_REQUIRED_TEST: BAD_ON + 200, PERMIT_RECEIVED: BAD_ON + 40}


def running(book):
    started = dict.fromkeys(CLOCK_SHAPES, BAD_ON)
    lost = {SIDE_LOST: BAD_ON}
    found = clocks(SUBJECTS, book, started, COUNTED_FROM, lost)
    rows = zip(found.row, found.shape, found.until_on, found.rule_id, strict=True)
    return {(int(r), int(s)): (u, int(i)) for r, s, u, i in rows}


@pytest.mark.parametrize("name", with_dates(CLOCKS))
def test_a_clock_row_starts_and_moves_its_own_clocks_only(name):
    row, id_ = RULES[name], NAMES.index(name) + 1
    shape = RuleShape(row.shape).code
    named = {(n, shape) for n, one in enumerate(EVERYONE) if applies(row, one)}
    assert named
    assert set(running(EVERY.take(EVERY.rule_id == id_))) == named
    now = running(EVERY)
    own = {k for k in now if now[k][1] == id_}
    without = running(EVERY.take(EVERY.rule_id != id_))
    assert {k for k in now if without.get(k, (None,))[0] != now[k][0]} <= own <= named
    if row.days or row.months:
        field = "days" if row.days else "months"
        then = running(with_number(name, **{field: getattr(row, field) - 1}))
        assert own <= {k for k in now if then[k] != now[k]} <= named


@pytest.mark.parametrize("name", with_dates(("no credit",)))
def test_no_credit_is_for_whom_its_words_name(name):
    named = [n for n, one in enumerate(EVERYONE) if applies(RULES[name], one)]
    assert refuses_credit(SUBJECTS, EVERY).tolist() == named
    book = EVERY.take(EVERY.rule_id != NAMES.index(name) + 1)
    assert refuses_credit(SUBJECTS, book).tolist() == []


def test_every_shape_in_the_catalogue_is_changed_by_some_test():
    known = {*LIMITS, *CLOCKS, "multiplier", "after occurrence"}
    known |= {"restore", "floor", "margin", "no credit", "a tenth a year"}
    assert {row.shape for row in RULES.values()} == known
