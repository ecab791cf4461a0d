"""What is altered from a day on changes no answer about the days before it.

Chance alters facts of woven sites, from days of the past and to come. Before and after
each, the site is judged for days before it: verdicts, dates, sections, findings.
"""

import datetime as dt
from collections import Counter
from dataclasses import fields, is_dataclass

import numpy as np
import pytest

from jointmap.assessment.assess import assess
from jointmap.assessment.recorded_tests import RecordedTests
from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.changes.alter import alter
from jointmap.changes.change import Change
from jointmap.errors import JointmapError
from jointmap.findings.every_finding import all_findings
from jointmap.register.codes import (
    Consequence,
    JointState,
    Purpose,
    Severity,
    WaterContent,
)
from jointmap.snapshot.snapshot import snapshot_of
from tests.storage.samples import NOON
from tests.woven_site import BOUNDARIES, JOINTS, STRUCTURES, Weaver, woven_site

pytestmark = pytest.mark.unmeasured

# Put aside: the state that was read, and its records.
BESIDE = {"state"}
DAY = dt.timedelta(days=1)


def plain(thing):
    """Return an answer as lists, that equal what is equal, nothing too."""
    if isinstance(thing, np.ndarray):
        return thing.astype(str).tolist()
    if is_dataclass(thing):
        names = [f.name for f in fields(thing) if f.name not in BESIDE]
        return {n: plain(getattr(thing, n)) for n in names}
    return repr(thing)


def answers(site, on):
    """Return all that is judged for a day, and what is found."""
    with snapshot_of(site.register) as state:
        found = assess(state.on_day(on), on)
        seen = SiteOnDay(found)
        limits = plain(seen.limits.held)
        findings = Counter(map(repr, all_findings(seen, RecordedTests(seen))))
        return {**plain(found), "limits": limits, "findings": findings}


def altered(weave):
    """Return a kind, what it is called, and values that it may have from a day on."""
    joint = f"J-{weave.id_of(JOINTS)}"
    return weave.one([
        ("joint", joint, {"boundary": f"B-{weave.id_of(BOUNDARIES)}"}),
        ("joint", joint, {"boundary": f"B-{weave.id_of(BOUNDARIES)}"}),
        ("joint", joint, {"is_buried": weave.one(["yes", "no"])}),
        ("joint", joint, {"is_buried": weave.one(["yes", "no"])}),
        ("joint", joint, {"state": str(weave.one(JointState))}),
        ("joint", joint, {"severity": str(weave.one(Severity)),
                          "consequence": str(weave.one(Consequence))}),
        ("joint", joint, {"temperature": weave.one(["40 degC", "220 degC"]),
                          "water_content": str(weave.one(WaterContent))}),
        ("joint", joint, {"near_power_line": weave.one(["yes", "no"])}),
        ("boundary", f"B-{weave.id_of(BOUNDARIES)}",
         {"purpose": str(weave.one(Purpose))}),
        ("source", f"R{weave.id_of(3)}", {"structure": f"S{weave.id_of(STRUCTURES)}"}),
        ("source", f"R{weave.id_of(3)}",
         {"also_feeds": f"S{weave.id_of(STRUCTURES)}"}),
        ("source", f"R{weave.id_of(3)}", {"can_be_interrupted": "no"}),
    ])  # fmt: skip


def on_record(site, weave, from_on, now):
    """Record an alteration of chance; return whether it was accepted."""
    kind, key, given = altered(weave)
    try:
        alter(site, kind, key, given, Change(from_on, now, "T1", "a reason", "T2"))
    except JointmapError:
        return False
    return True


def differing(before, after):
    return [name for name in before if before[name] != after[name]]


def test_no_answer_about_a_day_before_it_is_another(tmp_path, count):
    accepted = 0
    for seed in range(count(2, 60)):
        site, weave = woven_site(tmp_path, seed), Weaver(1000 + seed)
        for number in range(4):
            from_on = weave.day(2020, 2027) + int(weave.id_of(200)) * DAY
            days = [from_on - DAY, from_on - 400 * DAY]
            before = [answers(site, on) for on in days]
            made = on_record(site, weave, from_on, NOON + (5 + number) * DAY)
            accepted += made
            if not made:
                continue
            for on, expected in zip(days, before, strict=True):
                assert differing(expected, answers(site, on)) == [], (seed, number, on)
        site.register.close()
    assert accepted
