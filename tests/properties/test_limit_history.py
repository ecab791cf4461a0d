"""The history of limits equals a second reckoning: day after day, in plain dates.

The second one knows nothing of columns: months by pandas, each day of each time
between two tests looked at alone.
"""

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

import numpy as np
import pandas as pd
from hypothesis import given
from hypothesis import strategies as st

from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.intervals import (
    Away,
    OffDuty,
    counting_tests,
    held_limits,
    no_limits,
    rules_ever,
    stack,
)
from jointmap.pages.asked import assessed
from jointmap.register import Device, Joint, Rule
from jointmap.register.codes import Basis, JointState, StructureKind, Subject
from jointmap.register.rule_codes import RuleShape
from jointmap.workflows.opening import open_site
from tests.due_samples import GOOD, days, history, own_rule, subject

ON = dt.date(2026, 5, 15)
DAY = dt.timedelta(days=1)
# One limit: the rule, the day it counts from, its last allowed day, days late.
Limit = tuple[int, dt.date, dt.date, int]


class Life(NamedTuple):
    """One thing to test: plain facts."""

    tests: list[dt.date]
    starts: dt.date | None = None
    ends: dt.date | None = None
    joined: tuple[dt.date, dt.date | None] | None = None
    away: tuple[tuple[dt.date, dt.date], ...] = ()


def last_allowed(rule: Rule, counted: dt.date) -> dt.date:
    later = pd.Timestamp(counted) + pd.DateOffset(months=rule.months)
    months = later.date()
    if rule.shape is RuleShape.CALENDAR_YEARS:
        return min(months, dt.date(counted.year + rule.years, 12, 31))
    return months


def not_before_the_rule(rule: Rule, limit: dt.date) -> dt.date:
    if rule.basis is not Basis.LAW:
        return max(limit, rule.from_on)
    return max(limit, rule.binds_from_on or dt.date.min)


def is_off(life: Life, day: dt.date) -> bool:
    if life.ends is not None and day > life.ends:
        return True
    if any(out <= day < back for out, back in life.away):
        return True
    first, last = life.joined or (dt.date.max, dt.date.max)
    return first <= day <= (last or dt.date.max)


def begins_of(rules: dict[int, Rule]) -> dict[int, dt.date]:
    """Return from when each rule is held: the first record of a law reaches back."""
    begins = {}
    for number, rule in rules.items():
        editions = [(r.from_on, n) for n, r in rules.items() if r.name == rule.name]
        is_first = min(editions) == (rule.from_on, number)
        binds = rule.binds_from_on if is_first else None
        begins[number] = min(rule.from_on, binds or rule.from_on)
    return begins


def second_reckoning(
    life: Life, number: int, rule: Rule, begins: dt.date
) -> Iterator[Limit]:
    tested = sorted({day for day in life.tests if day <= ON})
    first = life.starts if life.starts and life.starts < (tested or [ON])[0] else None
    counted = [*([first] if first else []), *tested]
    if not tested and life.starts and life.starts <= ON:
        counted = [life.starts]
    if first or not tested:
        counted = from_the_law(counted, rule.binds_from_on)
    until = rule.until_on or dt.date.max
    for n, day in enumerate(counted):
        after = counted[n + 1] if n + 1 < len(counted) else None
        seen = after or ON
        limit = not_before_the_rule(rule, last_allowed(rule, day))
        end = min(seen, until, life.ends or dt.date.max)
        late, each = 0, limit + DAY
        while each <= end:
            late += not is_off(life, each)
            each += DAY
        if end < max(day, begins):
            continue
        if late:
            yield number, day, limit, late
        elif until >= seen:
            yield number, day, limit, 0


def from_the_law(counted: list[dt.date], binds: dt.date | None) -> list[dt.date]:
    """Return the days that limits count from, the start moved to the law's own day."""
    if not counted or binds is None or binds <= counted[0]:
        return counted
    tested = counted[1:]
    return tested if tested and tested[0] <= binds else [binds, *tested]


def first_reckoning(held) -> list[Limit]:
    over = np.maximum(held.days_over, 0).tolist()
    columns = (held.rule_id, held.from_on, held.limit_on)
    return sorted(zip(*(c.tolist() for c in columns), over, strict=True))


def yearly(from_on: dt.date, lasts: int | None, binds: dt.date | None) -> Rule:
    """A law's rule: each calendar year, not exceeding 15 months."""
    kind = {"basis": Basis.LAW, "shape": RuleShape.CALENDAR_YEARS, "name": "law"}
    numbers = {"years": 1, "months": 15, "binds_from_on": binds}
    return own_rule(**kind, **numbers, **spell(from_on, lasts))


def plain(basis: Basis, from_on: dt.date, lasts: int | None) -> Rule:
    return own_rule(basis=basis, months=12, **spell(from_on, lasts))


def spell(from_on: dt.date, lasts: int | None) -> dict[str, object]:
    until = None if lasts is None else from_on + lasts * DAY
    return {"from_on": from_on, "until_on": until}


DAYS = st.dates(dt.date(2012, 1, 1), dt.date(2026, 12, 31))
SPELLS = st.dates(dt.date(2012, 1, 1), ON), st.none() | st.integers(0, 3000)
BINDS = st.none() | st.dates(dt.date(2010, 1, 1), ON)
BASES = st.sampled_from([Basis.LAW, Basis.STANDARD, Basis.OWNER])
RULES = st.builds(plain, BASES, *SPELLS) | st.builds(yearly, *SPELLS, BINDS)
# Times out of duty come one after the other.
AWAY = (
    st.lists(DAYS, max_size=5, unique=True)
    .map(sorted)
    .map(lambda days: tuple(zip(days[::2], days[1::2], strict=False)))
)
LIVES = st.builds(
    Life,
    st.lists(DAYS, max_size=8),
    st.none() | DAYS,
    st.none() | DAYS,
    st.none() | st.tuples(DAYS, st.none() | DAYS),
    AWAY,
)


@given(LIVES, st.lists(RULES, min_size=1, max_size=3))
def test_of_random_histories(life, rules):
    numbered = dict(enumerate(rules, start=1))
    starts = str(life.starts) if life.starts else "NaT"
    one = subject(starts_on=starts)
    tests = history(*((1, str(day), GOOD) for day in life.tests))
    on = np.datetime64(ON)
    joined = life.joined or (None, None)
    off = OffDuty(*(days(str(day or "NaT")) for day in (life.ends, *joined)))
    counting = counting_tests(one, tests, on)
    first, back = (days(*(str(s[n]) for s in life.away)) for n in (0, 1))
    away = Away(np.zeros(len(life.away), np.int64), first, back)
    held = held_limits(one, counting, rules_ever(numbered, ON), on, off, away)
    begins = begins_of(numbered)
    wanted = [
        w for n, r in numbered.items() for w in second_reckoning(life, n, r, begins[n])
    ]
    assert first_reckoning(stack([no_limits(), *held])) == sorted(wanted)


def applies(site: SiteOnDay, rule: Rule, joint: Joint) -> bool:
    """Whether a rule is for a joint, by the records alone."""
    boundary = site.boundaries[joint.boundary_id]
    both = boundary.structure_a_id, boundary.structure_b_id
    sides = [site.state.structures[id_] for id_ in both]
    asked = [
        rule.subject is Subject.JOINT,
        rule.shape in {RuleShape.PLAIN_MONTHS, RuleShape.CALENDAR_YEARS},
        rule.purpose in {None, boundary.purpose},
        rule.severity in {None, joint.severity},
        rule.structure_kind is None or rule.structure_kind in {s.kind for s in sides},
        not rule.protected_only or any(s.is_protected for s in sides),
    ]
    return all(asked)


def as_it_ended(site: SiteOnDay, rule: Rule, joint: Joint) -> Rule:
    """Return a yearly rule as it ended where tenths of the clause took its place."""
    boundary = site.boundaries[joint.boundary_id]
    both = boundary.structure_a_id, boundary.structure_b_id
    sides = [site.state.structures[id_] for id_ in both]
    short = any(
        side.is_separate
        and side.is_protected
        and (side.kind is StructureKind.SERVICE_LINE or side.length_metre <= 30.48)
        for side in sides
    )
    days = [
        other.from_on - DAY
        for other in site.state.rules.values()
        if other.shape is RuleShape.TENTH_A_YEAR
        and (other.source, other.clause) == (rule.source, rule.clause)
    ]
    is_yearly = rule.shape is RuleShape.CALENDAR_YEARS and rule.years == 1
    return replace(rule, until_on=min(days)) if short and days and is_yearly else rule


def life_of(site: SiteOnDay, id_: int, row: int) -> Life:
    joint, counting = site.joints[id_], site.assessed.counting
    boundary = site.boundaries[joint.boundary_id]
    fitted = [d.fitted_on for _, d in site.state.records_of(Device, "joint_id", id_)]
    joined = boundary.joined_from_on, boundary.joined_until_on
    return Life(
        counting.tested_on[counting.row == row].tolist(),
        joint.in_duty_on or min(fitted, default=None),
        joint.out_of_duty_on if joint.state is not JointState.IN_DUTY else None,
        joined if joined[0] else None,
    )


def test_of_every_joint_of_the_sample(demo):
    register = open_site(demo / "site")
    with assessed(register, ON, None) as (found, _):
        site = SiteOnDay(found)
        seen, begins = 0, begins_of(dict(site.state.rules))
        for row, id_ in enumerate(found.ground.joints.joint_id.tolist()):
            joint, life = site.joints[id_], life_of(site, id_, row)
            if joint.state is not JointState.IN_DUTY and life.ends is None:
                continue
            wanted = [
                limit
                for number, rule in site.state.rules.items()
                if applies(site, rule, joint)
                for limit in second_reckoning(
                    life, number, as_it_ended(site, rule, joint), begins[number]
                )
            ]
            assert first_reckoning(site.limits.of(Subject.JOINT, id_)) == sorted(wanted)
            seen += len(wanted)
        assert seen > 1000
