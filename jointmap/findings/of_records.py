"""Findings in what people wrote down: late sheets, clusters, water inside."""

import datetime as dt
from collections.abc import Iterator
from itertools import pairwise
from typing import cast

import numpy as np

from jointmap.assessment.site_on_day import day_of
from jointmap.findings.finder import Finder, Seen, finds
from jointmap.findings.finding import About, Found
from jointmap.findings.kind import Gravity, Kind
from jointmap.findings.of_papers import place_of_test
from jointmap.register import (
    IsolationTest,
)
from jointmap.register.codes import (
    OccurrenceKind,
    Verdict,
    WaterContent,
)
from jointmap.register.told import Told

LATE_DAYS = 30
# Nobody drives faster between two places (about 145 km/h in a straight line).
FASTEST_METRE_PER_SECOND = 40.0
CLUSTER_DAYS = 35
CLUSTER_AT_LEAST = 4
IMPOSSIBLE_TRAVEL = Kind(
    "impossible_travel",
    Gravity.LOOK,
    "common_practice",
    day="tested",
    numbers={"speed": FASTEST_METRE_PER_SECOND},
)
ENTERED_LATE = Kind(
    "entered_late",
    Gravity.FOR_THE_RECORD,
    "common_practice",
    day="recorded",
    numbers={"days": LATE_DAYS},
)
INSIDE_WATER = Kind("inside_water", Gravity.LOOK, "record")
WALL_LOSS = Kind("wall_loss", Gravity.ACT_SOON, "record", "day")
CLUSTER = Kind(
    "cluster",
    Gravity.ACT_SOON,
    "common_practice",
    day="first",
    numbers={"count": CLUSTER_AT_LEAST, "days": CLUSTER_DAYS},
)


def in_order(seen: Seen) -> list[IsolationTest]:
    """Return the tests by day."""
    return [
        t
        for _, t in sorted(
            seen.tests.records.items(), key=lambda p: (p[1].tested_on, p[0])
        )
    ]


@finds(IMPOSSIBLE_TRAVEL)
def impossible_travel(seen: Seen) -> Iterator[Found]:
    """Yield each pair of readings too far apart for the time between them."""
    timed: dict[int, list[IsolationTest]] = {}
    for test in in_order(seen):
        if test.tested_at is not None and test.person_id and test.joint_id:
            timed.setdefault(test.person_id, []).append(test)
    for tests in timed.values():
        ordered = sorted(tests, key=lambda t: (t.tested_at, t.joint_id))
        for before, after in pairwise(ordered):
            yield from _too_fast(seen, before, after)


def _too_fast(
    seen: Seen, before: IsolationTest, after: IsolationTest
) -> Iterator[Found]:
    joints, rows = seen.site.assessed.ground.joints, seen.site.joint_rows
    ends = [rows[cast("int", t.joint_id)] for t in (before, after)]
    metres = float(
        np.hypot(*(np.diff(v[ends])[0] for v in (joints.x_metre, joints.y_metre)))
    )
    began, ended = (cast("dt.datetime", t.tested_at) for t in (before, after))
    seconds = (ended - began).total_seconds()
    if metres > FASTEST_METRE_PER_SECOND * max(seconds, 60.0):
        yield seen.finding(
            IMPOSSIBLE_TRAVEL,
            place_of_test(after),
            "impossible_travel",
            person=seen.site.person(after.person_id),
            other=seen.site.joints[cast("int", before.joint_id)].tag,
            tag=seen.site.joints[cast("int", after.joint_id)].tag,
            tested=after.tested_on,
            distance=metres,
            minutes=round(seconds / 60),
        )


@finds(ENTERED_LATE)
def entered_late(seen: Seen) -> Iterator[Found]:
    """Yield each delivery with tests recorded long after they were made."""
    late: dict[int, list[int]] = {}
    for id_, test in seen.tests.records.items():
        entry = seen.tests.entries[id_]
        days = (seen.site.state.local_day(entry) - test.tested_on).days
        if days > LATE_DAYS:
            late.setdefault(entry, []).append(days)
    for entry, days_late in sorted(late.items()):
        recorded = seen.site.state.local_day(entry)
        facts = {
            "least": min(days_late),
            "most": max(days_late),
            "count": len(days_late),
        }
        reason = seen.site.state.entry(entry).reason
        about = About.called(f"entry {entry}")
        yield seen.finding(
            ENTERED_LATE,
            about,
            "entered_late",
            recorded=recorded,
            reason=reason,
            **facts,
        )


@finds(INSIDE_WATER, WALL_LOSS)
def inside_water(seen: Seen) -> Iterator[Found]:
    """Yield wet joints without lined length, and wall loss that was found."""
    devices = seen.site.state.devices
    fitted = seen.site.assessed.ground.joints.device_id
    for id_, joint in seen.site.joints.items():
        device = devices.get(int(fitted[seen.site.joint_rows[id_]]))
        if joint.water_content is WaterContent.WET and device is not None:
            ends = {"A": device.lining_a_metre, "B": device.lining_b_metre}
            sides = " and ".join(
                side for side, length in ends.items() if length is None
            )
            if sides:
                about = About.joint(id_)
                facts = {"fluid": joint.fluid or Told("absent.fluid"), "sides": sides}
                yield seen.finding(INSIDE_WATER, about, "wet_no_lining", **facts)
    for record in seen.site.state.occurrences.values():
        if record.kind is OccurrenceKind.WALL_LOSS and record.joint_id is not None:
            about = About.joint(record.joint_id)
            found = {"day": record.happened_on, "remark": record.remark}
            yield seen.finding(WALL_LOSS, about, "wall_loss", **found)


@finds(CLUSTER)
def clusters(seen: Seen) -> Iterator[Found]:
    """Yield areas in which many boundaries were first seen shorted in a short time."""
    states = seen.site.assessed.boundaries
    joints = seen.site.assessed.ground.joints
    areas = seen.site.assessed.ground.joint_facts.area
    bad = states.state == Verdict.SHORTED
    first = dict(
        zip(states.boundary_id[bad].tolist(), states.first_bad_on[bad], strict=True)
    )
    here: dict[str, set[int]] = {}
    for boundary, area in zip(joints.boundary_id.tolist(), areas, strict=True):
        if boundary in first and not np.isnat(first[boundary]):
            here.setdefault(area, set()).add(boundary)
    for area, boundaries in sorted(here.items()):
        days = np.sort(np.array([first[b] for b in boundaries]))
        within = np.searchsorted(days, days + CLUSTER_DAYS, side="right") - np.arange(
            len(days)
        )
        start = int(np.argmax(within))
        count = int(within[start])
        if count >= CLUSTER_AT_LEAST:
            facts = {
                "first": day_of(days[start]),
                "last": day_of(days[start + count - 1]),
            }
            about = About.called(area)
            yield seen.finding(
                CLUSTER, about, "cluster", count=count, area=area, **facts
            )


RECORD_FINDERS: tuple[Finder, ...] = (
    impossible_travel,
    entered_late,
    inside_water,
    clusters,
)
