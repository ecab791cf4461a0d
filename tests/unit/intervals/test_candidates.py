"""Which dates are asked for, of whom, and counted from when."""

import numpy as np
import pytest

from jointmap.errors import Refused
from jointmap.intervals import (
    REASONS,
    candidates,
    candidates_at,
    counting_tests,
    footing,
    reason_id,
    stack,
    standing_of,
)
from jointmap.register.codes import (
    Basis,
    PathKind,
    Purpose,
    Severity,
    StructureKind,
    Subject,
    Verdict,
)
from jointmap.register.rule_codes import RuleShape
from tests.due_samples import (
    DOUBTFUL,
    GOOD,
    NORMAL,
    ON,
    SHORTED,
    days,
    history,
    own_rules,
    rules,
    subject,
    triggers,
)

DAY = np.datetime64(ON)


def found(subjects, tests, raised, in_force, on=DAY):
    """Candidates as (reason, last allowed day, months), the earliest first."""
    counting = counting_tests(subjects, tests, on)
    table = candidates(
        subjects, footing(subjects, counting, raised, in_force, on), in_force, on
    )
    rows = [
        (reason_id(table, i), str(table.last_allowed_on[i]), int(table.months[i]))
        for i in range(len(table))
    ]
    return sorted(rows, key=lambda r: (r[1], r[0]))


def test_a_calendar_rule_gives_both_its_limits():
    one = found(
        subject(),
        history((1, "2024-02-10", GOOD)),
        triggers(),
        rules("cfr-192.465a-joint"),
    )
    assert one == [
        ("due.year_gap", "2025-05-10", 15),
        ("due.year_end", "2025-12-31", 15),
    ]


def test_several_years_have_reasons_of_their_own():
    law = {"shape": RuleShape.CALENDAR_YEARS, "years": 3, "months": 39}
    one = found(subject(), history((1, "2021-11-30", GOOD)), triggers(), own_rules(law))
    assert one == [
        ("due.years_end", "2024-12-31", 39),
        ("due.years_gap", "2025-02-28", 39),
    ]


def test_six_a_year_for_a_critical_bond_only():
    bond = {"kind": Subject.PATH, "path_kind": PathKind.RESISTANCE_BOND}
    in_force = rules("cfr-192.465c-critical-resistance-bond")
    tests = history((1, "2024-12-15", GOOD, True, False, Subject.PATH))
    critical = subject(**bond, is_critical=True)
    assert found(critical, tests, triggers(), in_force) == [
        ("due.six_a_year_days", "2025-02-28", 2),
        ("due.six_a_year", "2025-03-02", 2),
    ]
    assert found(subject(**bond), tests, triggers(), in_force) == []


def test_untested_counts_from_its_start_and_says_so():
    one = found(subject(starts_on="2025-01-31"), history(), triggers(), rules(*NORMAL))
    assert one[0] == ("due.months_from_start", "2026-01-31", 12)
    assert {r for r, _, _ in one} == {
        "due.months_from_start",
        "due.year_gap_from_start",
        "due.year_end_from_start",
    }


def test_no_date_at_all_gives_no_candidate():
    assert found(subject(), history(), triggers(), rules(*NORMAL)) == []


def test_a_test_before_the_start_still_is_the_last_test():
    one = found(
        subject(starts_on="2025-06-01"),
        history((1, "2025-05-01", GOOD)),
        triggers(),
        rules("owner-protection-normal"),
    )
    assert one == [("due.months", "2026-05-01", 12)]


@pytest.mark.parametrize(
    "visit",
    [
        (1, "2025-11-01", Verdict.INCONCLUSIVE),
        (1, "2025-11-01", Verdict.NOT_TESTED),
        (1, "2025-11-01", GOOD, False),
        (1, "2026-05-16", GOOD),
        (1, "NaT", GOOD),
        (2, "2025-11-01", GOOD),
        (1, "2025-11-01", GOOD, True, False, Subject.BOUNDARY),
    ],
    ids=[
        "inconclusive",
        "not tested",
        "lapsed",
        "later",
        "no day",
        "other",
        "boundary",
    ],
)
def test_what_does_not_count_moves_no_date(visit):
    last = (1, "2025-02-01", GOOD)
    with_visit = found(subject(), history(last, visit), triggers(), rules(*NORMAL))
    assert with_visit == found(subject(), history(last), triggers(), rules(*NORMAL))


def test_a_shorted_result_moves_the_clock_and_shortens():
    one = found(
        subject(),
        history((1, "2024-01-10", GOOD), (1, "2026-03-10", SHORTED)),
        triggers(),
        rules(*NORMAL),
    )
    assert one[:3] == [
        ("due.condition", "2026-06-10", 3),
        ("due.condition", "2026-09-10", 6),
        ("due.months", "2027-03-10", 12),
    ]


def test_a_doubtful_result_shortens_less():
    tests = history((1, "2026-03-10", DOUBTFUL))
    one = found(subject(), tests, triggers(), rules(*NORMAL))
    assert one[0] == ("due.condition", "2026-09-10", 6)


def test_a_bad_reading_of_the_group_condemns_no_joint():
    tests = history((1, "2026-03-10", SHORTED, True, True))
    one = found(subject(), tests, triggers(), rules(*NORMAL))
    assert one[0] == ("due.months", "2027-03-10", 12)


BAD = (1, "2024-01-10", SHORTED)


@pytest.mark.parametrize(
    ("later", "shortened"),
    [
        ([], True),
        ([(1, "2024-04-10", GOOD)], True),
        ([(1, "2024-04-10", GOOD), (1, "2024-10-09", GOOD)], True),
        ([(1, "2024-04-10", GOOD), (1, "2024-10-10", GOOD)], False),
        ([(1, "2024-04-10", GOOD, True, True), (1, "2024-10-10", GOOD)], False),
        (
            [
                (1, "2024-04-10", GOOD),
                (1, "2024-07-01", GOOD),
                (1, "2024-10-10", GOOD),
            ],
            False,
        ),
        (
            [
                (1, "2024-04-10", GOOD),
                (1, "2024-07-01", DOUBTFUL, True, True),
                (1, "2024-10-10", GOOD),
            ],
            True,
        ),
        (
            [
                (1, "2024-04-10", GOOD),
                (1, "2024-07-01", Verdict.INCONCLUSIVE),
                (1, "2024-10-10", GOOD),
            ],
            False,
        ),
        # As left on the day of the bad result: which came first is not known here.
        ([(1, "2024-01-10", GOOD), (1, "2024-10-10", GOOD)], True),
    ],
)
def test_two_good_tests_six_months_apart_restore(later, shortened):
    one = found(subject(), history(BAD, *later), triggers(), rules(*NORMAL))
    assert any(r.startswith("due.condition") for r, _, _ in one) is shortened


def test_of_two_restore_rules_the_longer_wait_applies():
    later = [(1, "2024-04-10", GOOD), (1, "2024-10-10", GOOD)]
    own = [
        {"months": 12},
        {
            "shape": RuleShape.MULTIPLIER,
            "factor": 0.5,
            "trigger": "last result shorted",
        },
        {"shape": RuleShape.RESTORE, "months": 6},
        {"shape": RuleShape.RESTORE, "months": 9},
    ]
    for shortened, in_force in (
        (False, own[:3]),
        (True, own),
        (True, own[:2] + own[3:]),
    ):
        tests = history(BAD, *later)
        one = found(subject(), tests, triggers(), own_rules(*in_force))
        assert (one[0][0] == "due.condition") is shortened


@pytest.mark.parametrize(("same_day", "restored"), [([], True), ([SHORTED], False)])
def test_a_bad_result_of_the_same_day_breaks_a_good_pair(same_day, restored):
    pair = [(1, "2024-02-01", GOOD), (1, "2024-09-01", GOOD)]
    bad = [(1, "2024-09-01", v, True, True) for v in same_day]
    raised = triggers((1, "storm", "2024-01-01"))
    for tests in ((*pair, *bad), (*bad, *pair)):
        one = found(subject(), history(*tests), raised, rules(*NORMAL))
        assert ("due.condition" not in [r for r, _, _ in one]) is restored


def test_a_test_of_the_day_asked_about_counts():
    tests = history((1, "2025-02-01", GOOD), (1, str(ON), GOOD))
    one = found(subject(), tests, triggers(), rules("owner-protection-normal"))
    assert one == [("due.months", "2027-05-15", 12)]


def test_without_a_restore_rule_nothing_is_restored():
    later = [(1, "2024-04-10", GOOD), (1, "2025-10-10", GOOD)]
    names = [n for n in NORMAL if n != "owner-restore"]
    one = found(subject(), history(BAD, *later), triggers(), rules(*names))
    assert one[0] == ("due.condition", "2026-01-10", 3)


def test_good_tests_do_not_end_what_still_stands():
    tests = history((1, "2024-06-01", GOOD), (1, "2025-12-01", GOOD))
    raised = triggers((1, "wrong lubricant", "2024-01-01"), (1, "storm", "2024-01-01"))
    one = found(subject(), tests, raised, rules(*NORMAL))
    assert one[0] == ("due.condition", "2026-03-01", 3)
    assert [r for r, _, _ in one].count("due.condition") == 1


def test_of_several_multipliers_the_smallest_governs_and_none_are_multiplied():
    tests = history((1, "2026-03-10", GOOD))
    raised = triggers((1, "wrong lubricant", "2024-01-01"), (1, "storm", "2024-01-01"))
    one = found(subject(), tests, raised, rules(*NORMAL))
    assert [(d, m) for r, d, m in one if r == "due.condition"] == [
        ("2026-06-10", 3),
        ("2026-09-10", 6),
    ]


@pytest.mark.parametrize(
    ("base", "factor", "floor", "months"),
    [
        (12, 0.25, 1, 3),
        (6, 0.25, 1, 1),
        (2, 0.25, 1, 1),
        (2, 0.25, 3, 2),
        (12, 1 / 3, 1, 4),
        (1, 0.25, None, 0),
        (12, 1.0, 1, 12),
    ],
)
def test_shortened_months_are_rounded_down_to_the_floor(base, factor, floor, months):
    own = [
        {"months": base},
        {"shape": RuleShape.MULTIPLIER, "factor": factor, "trigger": "storm"},
        {"shape": RuleShape.FLOOR, "months": floor or 1},
    ][: 3 if floor else 2]
    raised = triggers((1, "storm", "2020-01-01"))
    one = found(subject(), history((1, "2026-03-10", GOOD)), raised, own_rules(*own))
    assert [m for r, _, m in one if r == "due.condition"] == [months]


def test_of_two_floors_the_smaller_holds():
    own = [
        {"months": 12},
        {"shape": RuleShape.MULTIPLIER, "factor": 0.1, "trigger": "storm"},
        {"shape": RuleShape.FLOOR, "months": 6},
        {"shape": RuleShape.FLOOR, "months": 2},
    ]
    raised = triggers((1, "storm", "2020-01-01"))
    one = found(subject(), history((1, "2026-03-10", GOOD)), raised, own_rules(*own))
    assert one[0][2] == 2


def test_what_is_raised_today_makes_nothing_late_since_last_year():
    tests = history((1, "2025-07-01", GOOD))
    raised = triggers((1, "wrong lubricant", "2026-05-10"))
    one = found(subject(), tests, raised, rules(*NORMAL))
    assert one[0] == ("due.condition_late", "2026-06-10", 3)


def test_a_fact_of_unknown_day_stands_all_along():
    tests = history((1, "2024-06-01", GOOD), (1, "2025-12-01", GOOD))
    raised = triggers((1, "wrong lubricant", "NaT"), (1, "storm", "NaT"))
    one = found(subject(), tests, raised, rules(*NORMAL))
    assert one[:2] == [
        ("due.condition", "2026-03-01", 3),
        ("due.condition", "2026-06-01", 6),
    ]
    assert "due.occurrence" not in [r for r, _, _ in one]


def test_only_the_owners_plain_months_are_shortened():
    law = {"months": 12, "basis": Basis.LAW}
    years = {"shape": RuleShape.CALENDAR_YEARS, "years": 1, "months": 15}
    short = {"shape": RuleShape.MULTIPLIER, "factor": 0.5, "trigger": "storm"}
    raised = triggers((1, "storm", "2026-01-01"))
    tests = history((1, "2026-03-10", GOOD))
    one = found(subject(), tests, raised, own_rules(law, years, short))
    assert {r for r, _, _ in one} == {"due.months", "due.year_gap", "due.year_end"}


@pytest.mark.parametrize(
    ("tested", "opened"),
    [("2025-08-13", True), ("2025-08-14", True), ("2025-08-15", False)],
)
def test_an_occurrence_asks_for_a_test_until_a_later_day_answers(tested, opened):
    one = found(
        subject(),
        history((1, tested, GOOD)),
        triggers((1, "storm", "2025-08-14")),
        rules("owner-after-storm"),
    )
    assert one == ([("due.occurrence", "2025-09-13", 0)] if opened else [])


def test_an_occurrence_dates_even_what_has_no_other_date():
    raised = triggers((1, "storm", "2025-08-14"))
    one = found(subject(), history(), raised, rules(*NORMAL))
    assert one == [("due.occurrence", "2025-09-13", 0)]


def test_what_is_raised_later_or_elsewhere_is_not_looked_at():
    raised = triggers((1, "storm", "2026-05-16"), (7, "storm", "2026-01-01"))
    tests = history((1, "2026-03-10", GOOD))
    one = found(subject(), tests, raised, rules(*NORMAL))
    assert {r for r, _, _ in one} == {"due.months", "due.year_gap", "due.year_end"}


MATCHES = [
    # rule's own words, subject's fields, applies
    ({}, {}, True),
    ({"subject": Subject.BOUNDARY}, {}, False),
    ({"purpose": Purpose.SHIP_SHORE}, {}, False),
    ({"purpose": Purpose.PROTECTION}, {}, True),
    ({"purpose": Purpose.PROTECTION}, {"purpose": None}, False),
    ({"severity": Severity.HARSH}, {}, False),
    ({"severity": Severity.HARSH}, {"severity": Severity.HARSH}, True),
    ({"structure_kind": StructureKind.JETTY}, {}, False),
    (
        {"structure_kind": StructureKind.JETTY},
        {"sides": (StructureKind.SHIP, StructureKind.JETTY)},
        True,
    ),
    (
        {"structure_kind": StructureKind.SHIP},
        {"sides": (StructureKind.SHIP, StructureKind.JETTY)},
        True,
    ),
    ({"path_kind": PathKind.DRAINAGE}, {}, False),
    ({"path_kind": PathKind.DRAINAGE}, {"path_kind": PathKind.DRAINAGE}, True),
    ({"critical_only": True}, {}, False),
    ({"critical_only": True}, {"is_critical": True}, True),
    ({"protected_only": True}, {"is_protected": False}, False),
    ({"protected_only": True}, {}, True),
    ({}, {"is_active": False}, False),
]


@pytest.mark.parametrize(("words", "fields", "applies"), MATCHES)
def test_a_rule_binds_only_whom_it_names(words, fields, applies):
    one = subject(**fields)
    tests = history((1, "2026-01-10", GOOD))
    in_force = own_rules({"months": 12, **words})
    assert bool(found(one, tests, triggers(), in_force)) is applies


def test_a_multiplier_and_its_base_bind_only_whom_they_name():
    short = {"shape": RuleShape.MULTIPLIER, "factor": 0.5, "trigger": "storm"}
    raised = triggers((1, "storm", "2026-01-01"))
    tests = history((1, "2026-03-10", GOOD))
    harsh = {"severity": Severity.HARSH}
    for own in (
        [{"months": 12}, {**short, **harsh}],
        [{"months": 12, **harsh}, short],
    ):
        one = found(subject(), tests, raised, own_rules(*own))
        assert "due.condition" not in {r for r, _, _ in one}


def test_a_subject_in_two_rows_is_refused():
    both = stack([subject(5), subject(5)])
    with pytest.raises(Refused, match=r"due\.subject_twice"):
        counting_tests(both, history(), DAY)
    other = stack([subject(5), subject(5, Subject.BOUNDARY)])
    assert len(counting_tests(other, history(), DAY)) == 0


def test_no_subject_no_candidate():
    none = subject().take(np.zeros(1, np.bool_))
    tests = history((1, "2026-01-10", GOOD))
    raised = triggers((1, "storm", "2026-01-01"))
    assert found(none, tests, raised, rules(*NORMAL)) == []


def test_no_rule_no_candidate():
    assert found(subject(), history((1, "2026-01-10", GOOD)), triggers(), rules()) == []


@pytest.mark.parametrize(
    ("second", "verdict"), [(DOUBTFUL, "doubtful"), (GOOD, "isolating")]
)
def test_of_one_day_the_test_recorded_last_is_the_last_verdict(second, verdict):
    tests = history((1, "2026-03-10", SHORTED), (1, "2026-03-10", second))
    standing = standing_of(subject(), counting_tests(subject(), tests, DAY))
    assert Verdict.at(int(standing.last_verdict[0])) == verdict


def test_candidates_of_another_kind_stack_with_those_of_rules():
    table = candidates_at(
        np.array([0]), days("2026-07-01"), basis=Basis.RISK.code, reason=4
    )
    both = stack([table, table])
    assert len(both) == 2
    assert both.rule_id.tolist() == [0, 0]
    assert both.trigger.tolist() == [-1, -1]
    assert np.isnan(both.factor).all()
    assert np.isnat(both.from_on).all()
    assert len(set(REASONS)) == len(REASONS)
