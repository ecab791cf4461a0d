"""Rules in force that say different things of one subject, and tests that do."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from jointmap.assessment.site_on_day import day_of
from jointmap.findings.finder import Finder, Seen, finds
from jointmap.findings.finding import About, Found
from jointmap.findings.kind import Gravity, Kind
from jointmap.findings.of_papers import place_of_test
from jointmap.register import Rule
from jointmap.register.codes import Verdict
from jointmap.register.columns import Codes, Flags, Ids
from jointmap.register.rule_codes import NUMBERS_OF_SHAPE
from jointmap.tables import METHODS

_SCOPE = (
    "shape", "basis", "subject", "trigger", "purpose", "severity", "structure_kind",
    "path_kind", "critical_only", "protected_only",
)  # fmt: skip
_NUMBERS = ("years", "months", "days", "factor")
# What one reading is of; two of one day and stage should agree.
_PLACE = (
    "scope", "joint_id", "boundary_id", "path_id", "stud", "side", "method", "stage",
)  # fmt: skip

# More tests of one place on one day than a person makes (judgement).
TESTS_A_DAY = 5
RULES_CONTRADICT = Kind("rules_contradict", Gravity.ACT_SOON, "record", "since")
ONE_DAY = Kind("one_day", Gravity.LOOK, "limit", "tested")
MANY_A_DAY = Kind(
    "many_a_day",
    Gravity.FOR_THE_RECORD,
    "common_practice",
    day="tested",
    numbers={"count": TESTS_A_DAY},
)


@finds(RULES_CONTRADICT)
def rules_contradict(seen: Seen) -> Iterator[Found]:
    """Yield rules in force for the same subjects by the same word, unlike in numbers.

    The earliest date governs, so nothing is guessed; but one of the two is not meant.
    """
    first: dict[tuple[object, ...], Rule] = {}
    for rule in _in_force(seen):
        scope = tuple(getattr(rule, name) for name in _SCOPE)
        other = first.setdefault(scope, rule)
        if _numbers(rule) != _numbers(other):
            yield seen.finding(
                RULES_CONTRADICT,
                About.called(rule.name),
                "rules_contradict",
                one=f"{other.name} of {other.from_on}",
                says=_told(other),
                other=f"{rule.name} of {rule.from_on}",
                unlike=_told(rule),
                since=max(rule.from_on, other.from_on),
            )


def _in_force(seen: Seen) -> list[Rule]:
    on = seen.site.assessed.on
    rules = seen.site.state.rules.values()
    own = [r for r in rules if r.from_on <= on]
    return [r for r in own if r.until_on is None or on <= r.until_on]


def _numbers(rule: Rule) -> tuple[object, ...]:
    return tuple(getattr(rule, name) for name in _NUMBERS)


def _told(rule: Rule) -> str:
    needed = [n for n in NUMBERS_OF_SHAPE[rule.shape] if n in _NUMBERS]
    return ", ".join(f"{name} {getattr(rule, name):g}" for name in needed)


@dataclass(frozen=True, slots=True)
class _DayGroups:
    """Deciding tests of one place by one method at one stage on one day."""

    tests: Ids  # rows, deciding ones only
    group: Ids  # of each
    count: Ids  # per group
    good: Ids
    in_turn: Flags  # per group: each at an instant of its own

    def last(self, group: int) -> int:
        """Return the row of the group's test recorded last."""
        return int(self.tests[np.flatnonzero(self.group == group)[-1]])


def _day_groups(seen: Seen) -> _DayGroups:
    found, said = seen.site.assessed.tests, seen.site.assessed.judgements
    deciding = said.counts & (said.verdict <= Verdict.SHORTED.code)
    at = np.flatnonzero(deciding & (said.verdict >= 0))
    keys = [np.asarray(getattr(found, n)[at], np.int64) for n in _PLACE]
    keys.append(found.tested_on[at].astype(np.int64))
    _, group = np.unique(np.stack(keys), axis=1, return_inverse=True)
    group = group.ravel()
    good = said.verdict[at] == Verdict.ISOLATING
    count = np.bincount(group)
    return _DayGroups(
        at,
        group,
        count,
        np.bincount(group, good).astype(np.int64),
        _instants(group, found.minute[at], len(count)) == count,
    )


def _instants(group: Ids, minute: Codes, groups: int) -> Ids:
    """Return how many different instants the tests of each group have on record."""
    pairs = np.unique(np.stack([group, minute.astype(np.int64)]), axis=1)
    known: Ids = np.bincount(pairs[0][pairs[1] >= 0], minlength=groups)
    return known


def _of_group(seen: Seen, groups: _DayGroups, n: int, kind: Kind, **more: int) -> Found:
    found, last = seen.site.assessed.tests, groups.last(n)
    return seen.finding(
        kind,
        place_of_test(seen.tests.records[int(found.test_id[last])]),
        kind.id,
        method=METHODS[int(found.method[last])].label,
        tested=day_of(found.tested_on[last]),
        count=int(groups.count[n]),
        **more,
    )


@finds(ONE_DAY, MANY_A_DAY)
def one_day(seen: Seen) -> Iterator[Found]:
    """Yield places read good and bad on one day, and places read very often on one."""
    groups = _day_groups(seen)
    mixed = (groups.good > 0) & (groups.good < groups.count) & ~groups.in_turn
    for n in np.flatnonzero(mixed).tolist():
        good, bad = int(groups.good[n]), int(groups.count[n] - groups.good[n])
        yield _of_group(seen, groups, n, ONE_DAY, good=good, bad=bad)
    for n in np.flatnonzero(groups.count >= TESTS_A_DAY).tolist():
        yield _of_group(seen, groups, n, MANY_A_DAY)


CONTRADICTION_FINDERS: tuple[Finder, ...] = (rules_contradict, one_day)
