"""What must hold for the due dates of any history, triggers and rules."""

import datetime as dt

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from jointmap.due_list import build, grouped
from jointmap.intervals import TRIGGERS, stack
from jointmap.register.codes import Basis, Verdict
from jointmap.register.rule_codes import RuleShape
from tests.due_samples import GOOD, ON, credit, history, own_rules, subject, triggers

START = dt.date(2015, 1, 1)
DAYS = st.dates(START, ON)
DECIDING = [Verdict.ISOLATING, Verdict.DOUBTFUL, Verdict.SHORTED]
NEVER_COUNT = [Verdict.INCONCLUSIVE, Verdict.NOT_TESTED]
IDS = st.integers(1, 3)
TESTS = st.lists(
    st.tuples(IDS, DAYS, st.sampled_from(list(Verdict)), st.booleans(), st.booleans()),
    max_size=8,
)
RAISED = st.lists(st.tuples(IDS, st.sampled_from(TRIGGERS), DAYS), max_size=4)
WORDS = st.sampled_from(TRIGGERS)
RULE = st.one_of(
    st.builds(
        lambda n, b: {
            "shape": RuleShape.CALENDAR_YEARS,
            "years": n,
            "months": 12 * n + 3,
            "basis": b,
        },
        st.integers(1, 5),
        st.sampled_from([Basis.LAW, Basis.OWNER]),
    ),
    st.builds(
        lambda m, b: {"months": m, "basis": b},
        st.integers(1, 40),
        st.sampled_from([Basis.LAW, Basis.STANDARD, Basis.OWNER]),
    ),
    st.just({"shape": RuleShape.SIX_A_YEAR, "months": 2, "days": 15}),
    st.builds(
        lambda f, t: {
            "shape": RuleShape.MULTIPLIER,
            "basis": Basis.CONDITION,
            "factor": f,
            "trigger": t,
        },
        st.floats(0.05, 1.0),
        WORDS,
    ),
    st.builds(
        lambda d, t: {"shape": RuleShape.AFTER_OCCURRENCE, "days": d, "trigger": t},
        st.integers(1, 90),
        WORDS,
    ),
    st.builds(lambda m: {"shape": RuleShape.RESTORE, "months": m}, st.integers(1, 12)),
    st.builds(lambda m: {"shape": RuleShape.FLOOR, "months": m}, st.integers(1, 3)),
)
RULES = st.lists(RULE, min_size=1, max_size=8)
SUBJECTS = stack([subject(i, starts_on=str(START)) for i in (1, 2, 3)])


def written(tests):
    return history(*((i, str(d), v, n, c) for i, d, v, n, c in tests))


def due(tests, raised, in_force, on=ON):
    marks = triggers(*((i, w, str(d)) for i, w, d in raised))
    items, _ = build(SUBJECTS, written(tests), marks, in_force, on, 30, 10)
    return items.last_allowed_on


def never_earlier(later, than):
    """Whether no date of ``later`` is earlier; no date at all is no limit, so last."""
    return bool((np.isnat(later) | (later >= than)).all())


@given(TESTS, RAISED, RULES, IDS, DAYS)
def test_another_good_test_never_brings_a_date_forward(tests, raised, rules, one, day):
    in_force = own_rules(*rules)
    more = [*tests, (one, day, GOOD, True, False)]
    assert never_earlier(due(more, raised, in_force), due(tests, raised, in_force))


@given(TESTS, RAISED, RULES, IDS, st.booleans())
def test_a_worse_last_verdict_never_lengthens(tests, raised, rules, one, credited):
    in_force = own_rules(*rules)
    dates = [
        due([*tests, (one, ON, verdict, True, credited)], raised, in_force)
        for verdict in DECIDING
    ]
    assert never_earlier(dates[0], dates[1])
    assert never_earlier(dates[1], dates[2])


@given(TESTS, RAISED, RULES, st.data())
def test_a_worse_verdict_anywhere_never_lengthens(tests, raised, rules, data):
    in_force = own_rules(*rules)
    counting = [k for k, t in enumerate(tests) if t[3] and t[2] in DECIDING]
    if not counting:
        return
    at = data.draw(st.sampled_from(counting))
    one, day, verdict, counts, credited = tests[at]
    worse = DECIDING[min(2, DECIDING.index(verdict) + 1)]
    changed = [*tests[:at], (one, day, worse, counts, credited), *tests[at + 1 :]]
    assert never_earlier(due(tests, raised, in_force), due(changed, raised, in_force))


@given(TESTS, RAISED, RULES, IDS, DAYS, st.sampled_from(list(Verdict)))
def test_what_does_not_count_never_moves_a_date(tests, raised, rules, one, day, word):
    in_force = own_rules(*rules)
    plain = due(tests, raised, in_force)
    lapsed = due([*tests, (one, day, word, False, False)], raised, in_force)
    assert np.array_equal(plain, lapsed, equal_nan=True)
    for verdict in NEVER_COUNT:
        visit = due([*tests, (one, day, verdict, True, False)], raised, in_force)
        assert np.array_equal(plain, visit, equal_nan=True)


@given(TESTS, RAISED, RULES, RULE)
def test_one_rule_more_never_lengthens(tests, raised, rules, more):
    # A rule of restoring ends what would last for ever, so it is no stricter rule.
    before = due(tests, raised, own_rules(*rules))
    after = due(tests, raised, own_rules(*rules, more))
    if more.get("shape") not in (RuleShape.RESTORE, RuleShape.FLOOR):
        assert never_earlier(np.where(np.isnat(before), after, before), after)


@given(TESTS, RAISED, RULES, st.data())
def test_a_stricter_rule_never_lengthens(tests, raised, rules, data):
    at = data.draw(st.integers(0, len(rules) - 1))
    rule = dict(rules[at])
    if rule.get("shape") is RuleShape.RESTORE:
        rule["months"] += 1
    elif "factor" in rule:
        rule["factor"] *= data.draw(st.floats(0.1, 1.0))
    else:
        field = data.draw(st.sampled_from([n for n in ("months", "days") if n in rule]))
        rule[field] = data.draw(st.integers(1, rule[field]))
    stricter = [*rules[:at], rule, *rules[at + 1 :]]
    before = due(tests, raised, own_rules(*rules))
    after = due(tests, raised, own_rules(*stricter))
    assert never_earlier(before, after)


@given(TESTS, RAISED, RULES, st.randoms(use_true_random=False))
def test_the_order_of_rows_is_irrelevant(tests, raised, rules, random):
    in_force = own_rules(*rules)
    marks = triggers(*((i, w, str(d)) for i, w, d in raised))

    def shuffled(table):
        order = list(range(len(table)))
        random.shuffle(order)
        return table.take(np.array(order, np.int64))

    tables = (SUBJECTS, written(tests), marks, in_force)
    plain, _ = build(*tables, ON, 30, 10)
    mixed, _ = build(*(shuffled(t) for t in tables), ON, 30, 10)
    back = mixed.take(np.argsort(mixed.subject_id))
    for name in ("last_allowed_on", "planning_on", "rule_id", "reason", "state"):
        mine, other = getattr(plain, name), getattr(back, name)
        assert np.array_equal(mine, other, equal_nan=mine.dtype.kind == "M"), name
    assert (plain.last_verdict == back.last_verdict).all()


@given(TESTS, RAISED, RULES, st.integers(1, 2000))
def test_the_date_does_not_move_while_nothing_happens(tests, raised, rules, later):
    in_force = own_rules(*rules)
    now = due(tests, raised, in_force)
    then = due(tests, raised, in_force, ON + dt.timedelta(days=later))
    assert np.array_equal(now, then, equal_nan=True)


@given(TESTS, RAISED, RULES)
def test_nothing_is_ever_later_than_a_rule_allows(tests, raised, rules):
    every = due(tests, raised, own_rules(*rules))
    for rule in rules:
        if rule.get("shape") not in (RuleShape.RESTORE, RuleShape.FLOOR):
            alone = due(tests, raised, own_rules(rule))
            assert never_earlier(np.where(np.isnat(alone), every, alone), every)


@given(TESTS, RAISED, RULES)
def test_twice_the_same_test_is_once(tests, raised, rules):
    in_force = own_rules(*rules)
    once, twice = due(tests, raised, in_force), due(tests * 2, raised, in_force)
    assert np.array_equal(once, twice, equal_nan=True)


@given(TESTS, RAISED, RULES)
def test_planned_between_the_last_test_and_the_limit(tests, raised, rules):
    marks = triggers(*((i, w, str(d)) for i, w, d in raised))
    items, _ = build(SUBJECTS, written(tests), marks, own_rules(*rules), ON, 30, 10)
    dated = items.take(~np.isnat(items.last_allowed_on))
    assert (dated.planning_on <= dated.last_allowed_on).all()
    assert (np.isnat(dated.last_on) | (dated.planning_on >= dated.last_on)).all()


@given(TESTS, RAISED, RULES, st.lists(st.integers(0, 2), min_size=3, max_size=3))
def test_every_item_stands_on_exactly_one_line(tests, raised, rules, groups):
    marks = triggers(*((i, w, str(d)) for i, w, d in raised))
    items, _ = build(SUBJECTS, written(tests), marks, own_rules(*rules), ON, 30, 10)
    group = np.array(groups)
    lines, members = grouped(items, credit(groups), 50.0)
    assert sorted(members.tolist()) == [0, 1, 2]
    assert lines.member_count.sum() == 3
    named = {g for g in groups if g}
    assert len(lines) == len(named) + groups.count(0)
    for first, count in zip(lines.member_from, lines.member_count, strict=True):
        own = group[members[first : first + count]]
        assert count == 1 or (own[0] > 0 and (own == own[0]).all())


def test_the_worst_verdict_is_the_highest_code():
    assert [v.code for v in DECIDING] == [0, 1, 2]
