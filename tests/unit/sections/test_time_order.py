"""Which of two readings of one day stands: the later one, or else the worse."""

import itertools
from dataclasses import replace

import numpy as np
import pytest

from jointmap.register.codes import Scope, Stage, Verdict
from jointmap.register.time_order import time_key
from jointmap.sections import evidence, paths_now
from jointmap.sections import test_groups as groups_of
from jointmap.sections.paths import APART, JOINING
from tests.judging_samples import ON, joints_of, judged, paths_of, readings
from tests.opened_site import FIRST, findings, opened, sent, shown

GOOD, HALF, BAD = Verdict.ISOLATING, Verdict.DOUBTFUL, Verdict.SHORTED
ROUTINE, FOUND, LEFT = Stage.ROUTINE, Stage.AS_FOUND, Stage.AS_LEFT
DAY, NEXT = "2026-01-10", "2026-01-11"
# (day, stage, minute, verdict) of two readings, the earlier or the better one first.
PAIRS = [
    ((DAY, ROUTINE, -1, BAD), (NEXT, ROUTINE, -1, GOOD)),
    ((DAY, ROUTINE, 2000, BAD), (NEXT, ROUTINE, -1, GOOD)),
    ((DAY, FOUND, -1, BAD), (DAY, LEFT, -1, GOOD)),
    ((DAY, ROUTINE, 2000, BAD), (DAY, ROUTINE, 2001, GOOD)),
    ((DAY, ROUTINE, 2000, GOOD), (DAY, ROUTINE, 2001, BAD)),
    # The same instant, or one that is not known: the worse stands.
    ((DAY, ROUTINE, 2000, GOOD), (DAY, ROUTINE, 2000, BAD)),
    ((DAY, ROUTINE, -1, GOOD), (DAY, ROUTINE, -1, BAD)),
    ((DAY, ROUTINE, -1, GOOD), (DAY, ROUTINE, -1, HALF)),
    ((DAY, ROUTINE, -1, HALF), (DAY, ROUTINE, -1, BAD)),
    ((DAY, ROUTINE, 2900, GOOD), (DAY, ROUTINE, -1, BAD)),
    ((DAY, ROUTINE, -1, GOOD), (DAY, ROUTINE, 600, BAD)),
]


def of(pair, *, on_path=False):
    day, stage, minute, verdict = zip(*pair, strict=True)
    tests = readings(
        2,
        tested_on=list(day),
        stage=list(stage),
        minute=list(minute),
        joint_id=0 if on_path else 1,
        device_id=1,
        path_id=1 if on_path else 0,
        scope=Scope.PATH if on_path else Scope.JOINT,
        method="look" if on_path else "radio-frequency",
    )
    return tests, judged(list(verdict), True)


@pytest.mark.parametrize("pair", PAIRS)
@pytest.mark.parametrize("typed", [1, -1])
def test_the_later_one_stands_in_whatever_order_they_were_typed(pair, typed):
    tests, said = of(pair[::typed])
    first, last = time_key(tests, said, np.arange(2))[::typed]
    assert first < last
    joints = joints_of(1)
    seen = evidence(joints, tests, said, groups_of(joints, 50.0), 50.0)
    assert seen.verdict[-1] == pair[1][3]
    tests, said = of(pair[::typed], on_path=True)
    state = paths_now(paths_of(1), tests, said, ON).state[0]
    assert state == (APART if pair[1][3] is GOOD else JOINING)


def test_what_does_not_count_is_not_the_worse_one():
    tests, said = of([(DAY, ROUTINE, -1, GOOD), (DAY, ROUTINE, -1, GOOD)])
    idle = replace(said, counts=np.array([True, False]))
    keys = time_key(tests, idle, np.arange(2))
    assert keys[0] == keys[1]


HEAD = "scope,joint,tested_on,tested_at,method,stage,outcome,indication,instrument\n"
ROW = "joint,J-1,2026-03-11,{at},radio-frequency,routine,measured,{said},V-{n}\n"
METERS = "name,kind,needs_certificate\nV-1,tester,no\nV-2,tester,no\n"
# The site is an hour behind UTC: late in the evening it is the next day there.
INSTANTS = ["2026-03-11T09:00:00Z", "2026-03-11T09:30:00Z", "2026-03-12T00:30:00Z", ""]


@pytest.mark.parametrize("at", list(itertools.permutations(INSTANTS, 2)))
def test_two_readings_of_one_day_stand_by_their_instants(tmp_path, at):
    site = opened(tmp_path, {"instruments.csv": METERS})
    short, apart = at
    rows = [(short, "short", 1), (apart, "no short", 2)]
    sheet = HEAD + "".join(ROW.format(at=a, said=s, n=n) for a, s, n in rows)
    report = sent(site, {"tests.csv": sheet}, FIRST.replace(month=4))
    assert not report.refused
    with shown(site) as showing:
        verdict = showing.assessed.joints.verdict[0]
    told = [k for k, at_, _ in findings(site) if (k, at_) == ("one_day", "J-1")]
    site.register.close()
    repaired = bool(short and apart and short < apart)
    assert verdict == (GOOD if repaired else BAD)
    # It is asked which came last, but where the instants say so.
    assert bool(told) == (not (short and apart))
