"""Rules in force that say different things of one subject, and tests that do."""

from collections.abc import Iterator

import numpy as np

from jointmap.register import Rule
from jointmap.register.codes import Verdict, code_of
from jointmap.register.rule_codes import NUMBERS_OF_SHAPE
from jointmap.reports.views import Finding, Link
from jointmap.tables import METHODS
from jointmap.workflows.findings_of_papers import place_link
from jointmap.workflows.seen import Finder, Seen
from jointmap.workflows.showing import day_of

_SCOPE = (
    "shape", "basis", "subject", "trigger", "purpose", "severity", "structure_kind",
    "path_kind", "critical_only", "protected_only",
)  # fmt: skip
_NUMBERS = ("years", "months", "days", "factor")
# What one reading is of; two of one day and stage should agree.
_PLACE = (
    "scope", "joint_id", "boundary_id", "path_id", "stud", "side", "method", "stage",
)  # fmt: skip


def rules_contradict(seen: Seen) -> Iterator[Finding]:
    """Yield rules in force for the same subjects by the same word, unlike in numbers.

    The earliest date governs, so nothing is guessed; but one of the two is not meant.
    """
    first: dict[tuple[object, ...], Rule] = {}
    for rule in _in_force(seen):
        scope = tuple(getattr(rule, name) for name in _SCOPE)
        other = first.setdefault(scope, rule)
        if _numbers(rule) != _numbers(other):
            yield seen.finding(
                "rules_contradict",
                Link(rule.name),
                "rules_contradict",
                one=f"{other.name} of {other.from_on}",
                says=_told(other),
                other=f"{rule.name} of {rule.from_on}",
                unlike=_told(rule),
                since=max(rule.from_on, other.from_on),
            )


def _in_force(seen: Seen) -> list[Rule]:
    on = seen.showing.assessed.on
    rules = seen.showing.assessed.state.records(Rule).values()
    own = [r for r in rules if r.from_on <= on]
    return [r for r in own if r.until_on is None or on <= r.until_on]


def _numbers(rule: Rule) -> tuple[object, ...]:
    return tuple(getattr(rule, name) for name in _NUMBERS)


def _told(rule: Rule) -> str:
    needed = [n for n in NUMBERS_OF_SHAPE[rule.shape] if n in _NUMBERS]
    return ", ".join(f"{name} {getattr(rule, name):g}" for name in needed)


def one_day_contradicts(seen: Seen) -> Iterator[Finding]:
    """Yield places read good and bad on one day, by one method at one stage."""
    found, said = seen.showing.assessed.tests, seen.showing.assessed.judgements
    deciding = said.counts & (said.verdict <= code_of(Verdict.SHORTED))
    at = np.flatnonzero(deciding & (said.verdict >= 0))
    keys = [np.asarray(getattr(found, n)[at], np.int64) for n in _PLACE]
    keys.append(found.tested_on[at].astype(np.int64))
    if not len(at):
        return
    _, place = np.unique(np.stack(keys), axis=1, return_inverse=True)
    place = place.ravel()
    count = np.bincount(place)
    good = np.bincount(place, said.verdict[at] == code_of(Verdict.ISOLATING))
    for n in np.flatnonzero((good > 0) & (good < count)).tolist():
        last = int(at[np.flatnonzero(place == n)[-1]])
        test = seen.tests.records[int(found.test_id[last])]
        yield seen.finding(
            "one_day",
            place_link(seen, test),
            "one_day",
            method=METHODS[int(found.method[last])].label,
            tested=day_of(found.tested_on[last]),
            count=int(count[n]),
            good=int(good[n]),
            bad=int(count[n] - good[n]),
        )


CONTRADICTION_FINDERS: tuple[Finder, ...] = (rules_contradict, one_day_contradicts)
