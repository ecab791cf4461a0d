"""Findings in what people wrote down: fittings, instruments, copied or late sheets."""

import datetime as dt
import json
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from typing import cast

import numpy as np

from jointmap.assessment.recorded_tests import as_written
from jointmap.assessment.site_on_day import SiteOnDay, day_of
from jointmap.findings.finder import Finder, Seen
from jointmap.findings.finding import About, Found
from jointmap.findings.of_papers import PAPER_FINDERS, place_of_test
from jointmap.findings.of_photos import photos_far
from jointmap.register import (
    Device,
    Held,
    IsolationTest,
    Occurrence,
    Person,
)
from jointmap.register.codes import (
    OccurrenceKind,
    Outcome,
    Verdict,
    WaterContent,
    code_of,
)
from jointmap.register.told import Told
from jointmap.snapshot.fittings import fittings_in
from jointmap.tables import METHODS

_METHODS = {m.code: m.label for m in METHODS}
_KIND_OF_CHECK = {"lubricant": "wrong_lubricant", "torque": "torque_doubt"}
LATE_DAYS = 30
# A sheet is looked at when so many of its readings, and at least half, are copies.
COPIES_AT_LEAST = 4
# Nobody drives faster between two places (about 145 km/h in a straight line).
FASTEST_METRE_PER_SECOND = 40.0
CLUSTER_DAYS = 35
CLUSTER_AT_LEAST = 4


def fittings(seen: Seen) -> Iterator[Found]:
    """Yield what does not meet in the fitting records of what is fitted now."""
    found = fittings_in(seen.site.assessed.state, seen.site.assessed.on)
    for device, record, check in found.faults():
        kind = _KIND_OF_CHECK.get(check.name, "installation_gap")
        about = About.joint(device.joint_id)
        told, on = Told(check.because, check.values), record.installed_on
        yield Found(kind=kind, about=about, told=told, on=on)
    for device, record, other, check in found.same_day():
        about = About.joint(device.joint_id)
        facts = {
            "lubricant": record.lubricant or "blank",
            "used": check.values["lubricant"],
            "tag": seen.site.joints[other.joint_id].tag,
            "day": record.installed_on,
        }
        told, on = Told("fitting.same_day", facts), record.installed_on
        yield Found(kind="wrong_lubricant", about=about, told=told, on=on)


def held_values(seen: Seen) -> Iterator[Found]:
    """Yield every value that waits for a person."""
    for record in seen.site.assessed.state.records(Held).values():
        if record.is_open:
            kind, id_ = _kind_of_held(record)
            why = Told(record.doubt, json.loads(record.details or "{}"))
            facts: dict[str, object] = {
                "column": record.column,
                "value": record.value,
                "why": why,
                "sent": record.sent_on,
            }
            found = seen.finding(kind, held_about(seen.site, record), id_, **facts)
            yield _with_proposal(found, record)


def _kind_of_held(record: Held) -> tuple[str, str]:
    if record.column == "position":
        return "position_doubt", "position_doubt"
    if "torque" in record.column:
        return "torque_doubt", "held"
    return "awaiting_decision", "held"


def _with_proposal(found: Found, record: Held) -> Found:
    if not record.proposal:
        return found
    return replace(found, more=Told("find.proposal", {"proposal": record.proposal}))


def held_about(site: SiteOnDay, record: Held) -> About:
    """Return the joint that a held value belongs to, if it names one."""
    for word in (record.subject_key, *record.subject_key.split()):
        if word in site.joint_ids:
            return About.joint(site.joint_ids[word])
    return About.called(record.subject_key)


def copied_readings(seen: Seen) -> Iterator[Found]:
    """Yield each person's day on which many readings equal the ones before."""
    days: dict[tuple[int, object], list[bool]] = {}
    last: dict[object, tuple[tuple[str, str], ...]] = {}
    for test in _in_order(seen):
        text = as_written(test) if test.outcome is Outcome.MEASURED else ()
        if not text or not test.as_written:
            continue
        place = (
            test.scope,
            test.joint_id,
            test.boundary_id,
            test.method,
            test.stud,
            test.side,
        )
        days.setdefault((test.person_id or 0, test.tested_on), []).append(
            last.get(place) == text
        )
        last[place] = text
    persons = seen.site.assessed.state.records(Person)
    for (person, tested_on), same in days.items():
        if sum(same) >= COPIES_AT_LEAST and sum(same) * 2 >= len(same):
            code = persons[person].code if person else "nobody named"
            facts = {"same": sum(same), "count": len(same), "tested": tested_on}
            about = About.called(f"{code}, {tested_on}")
            yield seen.finding(
                "copied_reading", about, "copied_reading", person=code, **facts
            )


def _in_order(seen: Seen) -> list[IsolationTest]:
    return [
        t
        for _, t in sorted(
            seen.tests.records.items(), key=lambda p: (p[1].tested_on, p[0])
        )
    ]


def impossible_travel(seen: Seen) -> Iterator[Found]:
    """Yield each pair of readings too far apart for the time between them."""
    timed: dict[int, list[IsolationTest]] = {}
    for test in _in_order(seen):
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
            "impossible_travel",
            place_of_test(after),
            "impossible_travel",
            person=seen.site.person(after.person_id),
            other=seen.site.joints[cast("int", before.joint_id)].tag,
            tag=seen.site.joints[cast("int", after.joint_id)].tag,
            tested=after.tested_on,
            distance=metres,
            minutes=round(seconds / 60),
        )


def entered_late(seen: Seen) -> Iterator[Found]:
    """Yield each delivery with tests recorded long after they were made."""
    late: dict[int, list[int]] = {}
    for id_, test in seen.tests.records.items():
        entry = seen.tests.entries[id_]
        days = (seen.site.local_day(entry) - test.tested_on).days
        if days > LATE_DAYS:
            late.setdefault(entry, []).append(days)
    for entry, days_late in sorted(late.items()):
        recorded = seen.site.local_day(entry)
        facts = {
            "least": min(days_late),
            "most": max(days_late),
            "count": len(days_late),
        }
        reason = seen.site.assessed.state.entries[entry - 1].reason
        about = About.called(f"entry {entry}")
        yield seen.finding(
            "entered_late",
            about,
            "entered_late",
            recorded=recorded,
            reason=reason,
            **facts,
        )


def inside_water(seen: Seen) -> Iterator[Found]:
    """Yield wet joints without lined length, and wall loss that was found."""
    devices = seen.site.assessed.state.records(Device)
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
                facts = {"fluid": joint.fluid or "fluid not named", "sides": sides}
                yield seen.finding("inside_water", about, "wet_no_lining", **facts)
    for record in seen.site.assessed.state.records(Occurrence).values():
        if record.kind is OccurrenceKind.WALL_LOSS and record.joint_id is not None:
            about = About.joint(record.joint_id)
            found = {"day": record.happened_on, "remark": record.remark}
            yield seen.finding("inside_water", about, "wall_loss", **found)


def clusters(seen: Seen) -> Iterator[Found]:
    """Yield areas in which many boundaries were first seen shorted in a short time."""
    states = seen.site.assessed.boundaries
    joints = seen.site.assessed.ground.joints
    areas = seen.site.assessed.ground.joint_facts["area"]
    bad = states.state == code_of(Verdict.SHORTED)
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
                "cluster", about, "cluster", count=count, area=area, **facts
            )


RECORD_FINDERS: tuple[Finder, ...] = (
    fittings,
    held_values,
    *PAPER_FINDERS,
    copied_readings,
    impossible_travel,
    entered_late,
    inside_water,
    clusters,
    photos_far,
)
