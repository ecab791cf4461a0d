"""How papers stand for tests, and what lets them count: columns against one by one."""

import datetime as dt
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jointmap.errors import Refused
from jointmap.register import Certificate, Decision, Instrument, Person, Qualification
from jointmap.register.codes import DecisionKind
from jointmap.register.columns_judged import is_judged_anew
from jointmap.register.paper_states import (
    RULED,
    SOUND,
    Counting,
    PaperState,
    counting_of,
    state_of,
)
from jointmap.snapshot.papers.of_tests import Asked, papers_of_tests
from jointmap.snapshot.papers.owner_rules import counting, owner_rules
from jointmap.tables import METHOD_CODES, METHODS
from jointmap.tables.who_reads import (
    BY_EYE,
    KINDS,
    TASKS,
    codes_listed,
    methods_of_kind,
    methods_of_task,
)

ZERO = dt.date(2025, 1, 1)
TASK = [
    "isolation test",
    "witness",
    "look",
    "Spark; ohmmeter",
    "interrupt a current source",
]
KIND = ["voltmeter", "clamp ammeter", "reference electrode, Cu/CuSO4", "gauge"]


def day(n):
    return ZERO + dt.timedelta(days=n)


def qualified(person_id, task, first, last):
    return Qualification(
        person_id=person_id,
        task=task,
        valid_from_on=day(first),
        valid_until_on=day(last),
    )


def certified(instrument_id, number, first, last):
    span = {"valid_from_on": day(first), "valid_until_on": day(last)}
    return Certificate(instrument_id=instrument_id, number=str(number), **span)


def decided(kind, subject, key, on, until=None, *, number=1):
    return Decision(
        number=f"D-{number}", kind=kind, decided_on=day(on), subject=subject,
        subject_key=key, why="a reason", until_on=None if until is None else day(until),
        person_id=4, second_person_id=5,
    )  # fmt: skip


def state(qualifications=(), certificates=(), instruments=(), decisions=()):
    """What a snapshot gives, by id from 1."""
    of = {
        "qualifications": qualifications,
        "certificates": certificates,
        "instruments": instruments,
        "decisions": decisions,
        "people": [Person(code=f"T{n}", role="x") for n in range(1, 6)],
    }
    held = {name: dict(enumerate(own, start=1)) for name, own in of.items()}
    names = {i.name: id_ for id_, i in held["instruments"].items()}
    return SimpleNamespace(**held, names_ever=lambda _: names)


def asked(*rows):
    """Tests as (person, instrument, method, day) in columns."""
    who, what, how, on = zip(*rows, strict=True)
    codes = [METHOD_CODES[m] for m in how]
    return Asked(
        np.array(who, np.int64), np.array(what, np.int64), np.array(codes, np.int16),
        np.array([day(n) for n in on], "datetime64[D]"),
    )  # fmt: skip


def words(code):
    """Return the state and what comes of it, of the one test."""
    (one,) = code.tolist()
    state_, counts = (f(np.int16(one)) for f in (state_of, counting_of))
    return PaperState.at(int(state_)), Counting.at(int(counts))


SPAN = st.tuples(st.integers(0, 9), st.integers(0, 5)).map(
    lambda t: (t[0], t[0] + t[1])
)
PAPER = st.tuples(st.integers(1, 3), st.sampled_from(TASK), SPAN)
TEST = st.tuples(
    st.integers(0, 3), st.integers(0, 4), st.sampled_from([m.code for m in METHODS]),
    st.integers(0, 15),
)  # fmt: skip


def person_state(papers, person, method, on):
    own = [(t, span) for p, t, span in papers if p == person]
    fit = [span for t, span in own if METHOD_CODES[method] in methods_of_task(t)]
    if not person:
        return PaperState.NONE_NAMED
    if any(a <= on <= b for a, b in fit):
        return PaperState.VALID
    if fit:
        return PaperState.ENDED if any(b < on for _, b in fit) else PaperState.NOT_YET
    return PaperState.OTHER_TASK if own else PaperState.NONE_ON_RECORD


def instrument_state(papers, instrument, method, on):
    by_eye = method == "look"
    if not instrument:
        return PaperState.NOT_NEEDED if by_eye else PaperState.NONE_NAMED
    reads = methods_of_kind(KIND[instrument - 1])
    if reads is not None and METHOD_CODES[method] not in reads:
        return PaperState.OTHER_KIND
    own = [(a, b) for owner, (a, b) in papers if owner == instrument]
    if any(a <= on <= b for a, b in own):
        return PaperState.VALID
    if own:
        return PaperState.ENDED if any(b < on for _, b in own) else PaperState.NOT_YET
    return PaperState.NONE_ON_RECORD


@given(
    st.lists(PAPER, max_size=8),
    st.lists(st.tuples(st.integers(1, 4), SPAN), max_size=8),
    st.lists(TEST, min_size=1, max_size=12),
)
def test_states_against_a_loop(qualifications, certificates, tests):
    found = papers_of_tests(
        state(
            [qualified(p, t, a, b) for p, t, (a, b) in qualifications],
            [certified(i, n, a, b) for n, (i, (a, b)) in enumerate(certificates)],
            [Instrument(name=k, kind=k) for k in KIND],
        )
    )
    columns = asked(*tests)
    persons, instruments = found.persons(columns), found.instruments(columns)
    for n, (who, what, how, on) in enumerate(tests):
        by_whom = words(persons[n : n + 1])
        by_what = words(instruments[n : n + 1])
        assert by_whom[0] is person_state(qualifications, who, how, on)
        assert by_what[0] is instrument_state(certificates, what, how, on)
        for paper, counts in (by_whom, by_what):
            plain = paper in SOUND
            assert counts is (Counting.BY_ITSELF if plain else Counting.NOT)


def test_a_method_that_nobody_knows_is_covered_by_no_task():
    found = papers_of_tests(state([qualified(1, "isolation test", 0, 9)]))
    one = Asked.of(
        SimpleNamespace(person_id=1, instrument_id=None, method="x", tested_on=ZERO)
    )
    assert words(found.persons(one))[0] is PaperState.OTHER_TASK
    assert words(found.instruments(one))[0] is PaperState.NONE_NAMED


NOT_ASKED, ASKED, NOT_KEPT = (
    DecisionKind.PAPERS_NOT_ASKED,
    DecisionKind.PAPERS_ASKED,
    DecisionKind.PAPERS_NOT_KEPT,
)
NONE, ENDED = PaperState.NONE_ON_RECORD, PaperState.ENDED
OUT, RULE, ITSELF = Counting.NOT, Counting.BY_RULE, Counting.BY_ITSELF
RULES = [
    ([], PaperState.VALID, 5, ITSELF),
    ([], PaperState.NOT_NEEDED, 5, ITSELF),
    # Leaving the name out is no way past a paper.
    ([], NONE, 5, OUT),
    ([], PaperState.NONE_NAMED, 5, OUT),
    ([], ENDED, 5, OUT),
    ([(ASKED, "none on record", 5)], NONE, 5, OUT),
    ([(NOT_ASKED, "none on record", 5)], NONE, 4, OUT),
    ([(NOT_ASKED, "none on record", 5)], NONE, 5, RULE),
    ([(NOT_ASKED, "none on record", 5)], PaperState.NONE_NAMED, 5, RULE),
    ([(NOT_ASKED, "none on record", 5)], ENDED, 5, OUT),
    ([(NOT_ASKED, "ended", 5)], ENDED, 4, OUT),
    ([(NOT_ASKED, " Ended ", 5)], ENDED, 5, RULE),
    ([(NOT_ASKED, "ended", 5, 7)], ENDED, 7, RULE),
    ([(NOT_ASKED, "ended", 5, 7)], ENDED, 8, OUT),
    ([(NOT_ASKED, "ended", 5)], PaperState.NOT_YET, 5, OUT),
    ([(NOT_ASKED, "none on record", 5)], PaperState.NOT_YET, 5, RULE),
    ([(NOT_ASKED, "for another task", 5)], PaperState.OTHER_TASK, 5, RULE),
    # The latest decision holds, whatever came into the register first.
    ([(ASKED, "ended", 9), (NOT_ASKED, "ended", 5)], ENDED, 9, OUT),
    ([(ASKED, "ended", 9), (NOT_ASKED, "ended", 5)], ENDED, 8, RULE),
    # Of history: up to its last day, also where papers were asked for before.
    ([(NOT_KEPT, "none on record", 9, 6)], NONE, 6, RULE),
    ([(NOT_KEPT, "none on record", 9, 6)], NONE, 7, OUT),
    ([(NOT_KEPT, "none on record", 9, 6)], PaperState.NOT_YET, 0, RULE),
    ([(NOT_KEPT, "none on record", 9, 6)], ENDED, 0, OUT),
    ([(NOT_KEPT, "none on record", 9, 6), (ASKED, "none on record", 1)], NONE, 6, RULE),
    # No paper makes a torque wrench read a potential.
    ([(NOT_ASKED, key, 0) for key in RULED], PaperState.OTHER_KIND, 5, OUT),
]  # fmt: skip


@pytest.mark.parametrize(("decisions", "paper", "on", "wanted"), RULES)
def test_rules_of_the_owner(decisions, paper, on, wanted):
    own = [
        decided(k, "Person", key, *days, number=n)
        for n, (k, key, *days) in enumerate(decisions)
    ]
    rules = owner_rules(state(decisions=own))
    states, days = (
        np.array([paper.code], np.int16),
        np.array([day(on)], "datetime64[D]"),
    )
    assert Counting.at(int(counting(rules, states, days)[0])) is wanted


def test_a_rule_of_persons_is_none_of_instruments():
    own = decided(NOT_ASKED, "person", "none on record", 0)
    found = papers_of_tests(state(decisions=[own]))
    one = asked((0, 0, "ohmmeter", 3))
    assert words(found.persons(one)) == (PaperState.NONE_NAMED, Counting.BY_RULE)
    assert words(found.instruments(one)) == (PaperState.NONE_NAMED, Counting.NOT)
    assert found.rule_on("person", one, PaperState.NONE_NAMED.code) is own


ACCEPTED = DecisionKind.ACCEPTED_EXCEPTION
PEOPLE = [
    qualified(1, "isolation test", 0, 3),
    qualified(1, "bolted joint assembly", 0, 7),
    qualified(2, "witness", 0, 20),
    qualified(4, "isolation test", 0, 3),
]
EXCEPTIONS = [
    # Of the task that was done: after its own paper had ended, up to the decision.
    ("T1", 1, 4, True),
    ("t1", 1, 9, True),
    ("T1", 1, 10, False),
    ("T2", 2, 5, True),
    ("T2", 1, 4, False),
    ("T9", 1, 4, False),
    # Not for himself.
    ("T4", 4, 5, False),
]


@pytest.mark.parametrize(("key", "who", "on", "counts"), EXCEPTIONS)
def test_an_exception_about_a_person(key, who, on, counts):
    own = decided(ACCEPTED, "person", key, 9)
    found = papers_of_tests(state(PEOPLE, decisions=[own]))
    one = asked((who, 0, "ohmmeter", on))
    _, by = words(found.persons(one))
    assert by is (Counting.BY_EXCEPTION if counts else Counting.NOT)
    meant = found.exception_on("person", one)
    assert (meant is not None) == (counts or key == "T4")


def test_an_exception_lets_nobody_read_with_what_cannot():
    tools = [Instrument(name="M-1", kind="torque wrench")]
    own = decided(ACCEPTED, "instrument", "M-1", 9)
    papers = [certified(1, 1, 0, 3)]
    found = papers_of_tests(state([], papers, tools, [own]))
    one = asked((1, 1, "ohmmeter", 5))
    assert words(found.instruments(one)) == (PaperState.OTHER_KIND, Counting.NOT)


REFUSED = [
    (NOT_ASKED, "joint", "ended", None, "papers.word", "subject"),
    (NOT_ASKED, "person", "all", None, "papers.word", "subject_key"),
    (NOT_KEPT, "person", "ended", 3, "papers.word", "subject_key"),
    (NOT_KEPT, "person", "none on record", None, "papers.not_past", "until_on"),
    (NOT_KEPT, "person", "none on record", 9, "papers.not_past", "until_on"),
    (NOT_ASKED, "instrument", "ended", 8, "papers.order", "until_on"),
]


@pytest.mark.parametrize(
    ("kind", "subject", "key", "until", "fault", "column"), REFUSED
)
def test_a_rule_on_papers_that_says_nothing(kind, subject, key, until, fault, column):
    with pytest.raises(Refused) as refused:
        decided(kind, subject, key, 9, until)
    (problem,) = refused.value.problems
    assert (problem.id, problem.column) == (fault, column)


def test_what_papers_are_for_is_judged_by():
    one = qualified(1, "witness", 0, 3)
    assert is_judged_anew(one, qualified(1, "isolation test", 0, 3))
    meter = Instrument(name="M-1", kind="torque wrench")
    assert is_judged_anew(meter, Instrument(name="M-1", kind="voltmeter"))


def test_every_method_is_read_with_something_and_by_somebody_qualified():
    every = {*METHOD_CODES.values()}
    assert methods_of_task("isolation test") == every
    read_with = frozenset().union(*(methods_of_kind(row.kind) for row in KINDS))
    assert read_with == every
    assert {METHODS[m].code for m in BY_EYE} == {"look"}
    assert {row.mark for row in (*KINDS, *TASKS)} == {"common practice, no source"}


def test_a_table_that_names_no_method_is_refused():
    with pytest.raises(Refused) as refused:
        codes_listed("ohmmeter; dowsing", "x.csv")
    assert refused.value.problems[0].values == {"name": "dowsing"}
