"""Rules in force that say different things of one subject, and tests that do.

A place that turned good by itself, or reads as never before, contradicts its past.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from jointmap.acceptance.unlike_before import (
    ENOUGH,
    MOVED_VOLT,
    STOOD_VOLT,
    TIMES,
    Unlike,
    unlike_before,
)
from jointmap.assessment.assess import Assessment
from jointmap.assessment.site_on_day import day_of
from jointmap.findings.ac_read import place_of_row
from jointmap.findings.finder import Finder, Seen, finds
from jointmap.findings.finding import About, Found
from jointmap.findings.kind import Gravity, Kind
from jointmap.findings.of_papers import place_of_test
from jointmap.register import Rule
from jointmap.register.codes import Verdict
from jointmap.register.columns import Codes, Flags, Ids
from jointmap.register.joining import row_of
from jointmap.register.rule_codes import NUMBERS_OF_SHAPE
from jointmap.sections import (
    BOND_ON_RECORD,
    boundary_of,
    contradicting,
    tells_boundary,
)
from jointmap.sections.turned_good import is_explained, turned_good
from jointmap.snapshot.histories.figures_read import figures_read
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


BOND_CONTRADICTED = Kind("bond_contradicted", Gravity.ACT_SOON, "record", "tested")
GOOD_AGAIN = Kind("good_again", Gravity.LOOK, "common_practice", "tested")
UNLIKE_BEFORE = Kind(
    "unlike_before",
    Gravity.LOOK,
    "common_practice",
    day="tested",
    numbers={
        "moved": MOVED_VOLT,
        "stood": STOOD_VOLT,
        "enough": ENOUGH,
        "times": TIMES,
    },
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


@finds(BOND_CONTRADICTED)
def bond_contradicted(seen: Seen) -> Iterator[Found]:
    """Yield boundaries that a reading shows apart, and a bond on record joins."""
    site, states = seen.site, seen.site.assessed.boundaries
    paths = site.assessed.ground.paths
    joining = paths.take(contradicting(paths, site.paths_now))
    for row in np.flatnonzero(states.reason == BOND_ON_RECORD).tolist():
        id_ = int(states.boundary_id[row])
        own = joining.path_id[joining.boundary_id == id_].tolist()
        yield seen.finding(
            BOND_CONTRADICTED,
            About.boundary(id_),
            "bond_contradicted",
            tested=day_of(_last_good_on(site.assessed, row)),
            names=", ".join(site.paths[path].name for path in own),
        )


def _last_good_on(found: Assessment, row: int) -> np.datetime64:
    """Return the last day on which a boundary was read good, anywhere on it."""
    tests, states = found.tests, found.boundaries
    own = boundary_of(found.ground.joints, tests) == states.boundary_id[row]
    good = own & tells_boundary(tests) & (found.judgements.shows == Verdict.ISOLATING)
    good[states.test_row[row]] = True
    last: np.datetime64 = tests.tested_on[good].max()
    return last


@finds(GOOD_AGAIN)
def good_again(seen: Seen) -> Iterator[Found]:
    """Yield places that were bad and read good again with nothing to say why.

    A second good reading on another day, by another person or instrument, settles it.
    """
    site = seen.site.assessed
    tests, turned = site.tests, turned_good(site.tests, site.judgements)
    told = _is_explained(seen, turned.bad, turned.good)
    found: dict[tuple[object, ...], Found] = {}
    for bad, good, last in zip(*(v[~told].tolist() for v in turned), strict=True):
        if not _is_confirmed(seen, good, last):
            about, method = place_of_row(tests, good), int(tests.method[good])
            facts = {
                name: day_of(tests.tested_on[row])
                for name, row in (("bad", bad), ("tested", good))
            }
            found[about, method, *facts.values()] = seen.finding(
                GOOD_AGAIN, about, "good_again", method=METHODS[method].label, **facts
            )
    yield from found.values()


def _is_confirmed(seen: Seen, good: int, last: int) -> bool:
    """Whether the last good reading is another one than the first, by other means."""
    ids = seen.site.assessed.tests.test_id
    one, other = (seen.tests.records[int(ids[row])] for row in (good, last))
    means = ((t.person_id, t.instrument_id) for t in (one, other))
    is_other = any(a and b and a != b for a, b in zip(*means, strict=True))
    return is_other and one.tested_on < other.tested_on


def _is_explained(seen: Seen, before: Ids, after: Ids) -> Flags:
    """Return whether anything was done or found between pairs of tests of a place.

    Of a device: at its joint. Of a boundary: anywhere on it.
    """
    tests = seen.site.assessed.tests
    days = tests.tested_on[before], tests.tested_on[after]
    at = seen.happened
    of_boundary = is_explained(at.boundaries, tests.boundary_id[after], *days)
    of_joint = is_explained(at.joints, tests.joint_id[after], *days)
    is_whole = tells_boundary(tests)[after] | (tests.joint_id[after] == 0)
    return np.where(is_whole, of_boundary, of_joint)


@finds(UNLIKE_BEFORE)
def unlike_any_before(seen: Seen) -> Iterator[Found]:
    """Yield good readings far from all good ones before, with nothing to say why."""
    site = seen.site.assessed
    tests, read = site.tests, figures_read(site.state, site.tests)
    row = row_of(tests.test_id, read.test_id)
    good = site.judgements.shows[row] == Verdict.ISOLATING
    for unlike in unlike_before(read, good, tests.device_id[row]):
        at, before = row[unlike.row], row[unlike.before]
        told = _is_explained(seen, before, at)
        for n in np.flatnonzero(~told).tolist():
            yield _unlike(seen, unlike, n, int(at[n]))


def _unlike(seen: Seen, unlike: Unlike, n: int, row: int) -> Found:
    tests = seen.site.assessed.tests
    is_potential = unlike.figure != "reading"
    return seen.finding(
        UNLIKE_BEFORE,
        place_of_row(tests, row),
        "unlike_potential" if is_potential else "unlike_resistance",
        method=METHODS[int(tests.method[row])].label,
        tested=day_of(tests.tested_on[row]),
        side=unlike.figure.upper(),
        value=float(unlike.value[n]),
        least=float(unlike.least[n]),
        most=float(unlike.most[n]),
        count=int(unlike.earlier[n]),
    )


CONTRADICTION_FINDERS: tuple[Finder, ...] = (
    rules_contradict,
    one_day,
    bond_contradicted,
    good_again,
    unlike_any_before,
)
