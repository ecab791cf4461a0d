"""Whether a record may enter: its days, and what only its kind knows."""

import datetime as dt
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from typing import Any, cast

from jointmap.changes.rows.called import is_called
from jointmap.changes.rows.context import Context, local_day
from jointmap.changes.rows.decisions_checked import decision_faults
from jointmap.changes.rows.devices_checked import overlaps
from jointmap.changes.rows.find_record import nearest
from jointmap.changes.rows.names_checked import (
    cycling_and_steady,
    other_joint,
)
from jointmap.changes.rows.parts_checked import (
    elsewhere,
    no_such_reading,
    part_of_a_whole,
    part_of_device,
)
from jointmap.changes.rows.places_checked import joint_elsewhere
from jointmap.changes.rows.shapes_checked import faults_of_chainage, faults_of_shape
from jointmap.errors import Problem, Refused
from jointmap.register import (
    FORMS,
    Alias,
    Attachment,
    Chainage,
    Crew,
    CurrentSource,
    Decision,
    Device,
    IsolationTest,
    Joint,
    Line,
    Person,
    Record,
    Road,
    Site,
    Structure,
)
from jointmap.register.bounds import DayBound, day_fault
from jointmap.register.codes import JointState
from jointmap.register.fitting import gone_by
from jointmap.register.rights.authority import word_faults
from jointmap.snapshot.ends_checked import ENDS, reversed_ends
from jointmap.snapshot.feeds import feed_faults, listed
from jointmap.snapshot.fitted import device_tested
from jointmap.snapshot.tests_as_columns import GEOMETRIES
from jointmap.snapshot.words_checked import (
    words_of_crew,
    words_of_joint,
    words_of_site,
)
from jointmap.tables import METHODS

# What a file can be attached to: all but what tells of files, or waits.
ATTACHED_TO = tuple(k for k in FORMS if k not in ("attachment", "photo_place", "held"))


# The days of each kind, and within which each of them may lie.
_DAYS: dict[str, dict[str, DayBound]] = {
    kind: {c.name: c.bound for c in form.columns if isinstance(c.bound, DayBound)}
    for kind, form in FORMS.items()
}


def check_record(
    record: Record, context: Context, before: Record | None = None
) -> None:
    """Refuse a record that a sheet could not hold either: days to come, no device.

    Days that stood ``before`` are not asked about again.
    """
    check_days(record, context.today, before)
    context.forget(before)
    check_kind(record, context, before)


def check_days(record: Record, today: dt.date, before: Record | None = None) -> None:
    """Refuse days that nobody can mean, but for those that stood ``before``."""
    days = {n: getattr(record, n) for n in _DAYS[record.KIND]}
    given: dict[str, Any] = {
        n: v for n, v in days.items() if v != getattr(before, n, None)
    }
    if given and isinstance(record, Joint):
        given["state"] = record.state
    wrong = odd_days(record.KIND, given, today)
    if wrong:
        raise Refused(wrong)


def check_kind(record: Record, context: Context, before: Record | None = None) -> None:
    """Refuse what is wrong with a record of its kind beside what is on record."""
    check = _CHECKS.get(record.KIND)
    found = list(check(record, context)) if check else []
    if isinstance(record, IsolationTest):
        found += no_such_reading(record, before)
    found += joint_elsewhere(record, context, before)
    if record.KIND in ENDS:
        found += reversed_ends(record)
    if found:
        raise Refused(found)


def odd_days(kind: str, values: Mapping[str, Any], today: dt.date) -> list[Problem]:
    """Return a problem for each day that nobody can mean."""
    found = []
    for name, bound in _DAYS[kind].items():
        value = values.get(name)
        fault = None if value is None else day_fault(value, bound, today)
        if fault is not None:
            found.append(replace(fault, column=name, value=str(value)))
    return [*found, *_duty_to_come(values, today)]


def _duty_to_come(values: Mapping[str, Any], today: dt.date) -> Iterator[Problem]:
    """Yield that a joint said to be in duty begins it on a day to come only."""
    start = values.get("in_duty_on")
    if values.get("state") is JointState.IN_DUTY and start and start > today:
        facts = {"today": today}
        yield Problem("row.duty_to_come", facts, column="in_duty_on", value=str(start))


def _check_test(record: Record, context: Context) -> Iterator[Problem]:
    test = cast("IsolationTest", record)
    if test.tested_at is not None:
        yield from _check_instant(test, test.tested_at, context)
    codes = [m.code for m in METHODS]
    if test.method not in codes:
        facts = {"accepted": ", ".join(codes)}
        yield Problem("row.unknown_method", facts, column="method", value=test.method)
    if test.geometry and test.geometry not in GEOMETRIES:
        facts = {"accepted": ", ".join(GEOMETRIES)}
        yield Problem("row.geometry", facts, column="geometry", value=test.geometry)
    yield from cycling_and_steady(test)
    yield from part_of_a_whole(test)
    yield from elsewhere(test, context)
    if test.is_of_a_device:
        devices = [*context.devices_of(test.joint_id).values()]
        yield from _check_device(test, devices, context)


def _check_instant(
    test: IsolationTest, at: dt.datetime, context: Context
) -> Iterator[Problem]:
    day, shown = local_day(context.job, at), f"{at:%Y-%m-%dT%H:%M:%SZ}"
    if at > context.now:
        facts = {"now": f"{context.now:%Y-%m-%dT%H:%M:%SZ}"}
        yield Problem("row.instant_after_now", facts, column="tested_at", value=shown)
    elif day != test.tested_on:
        days = {"day": day, "tested_on": test.tested_on}
        yield Problem("row.other_day", days, column="tested_at", value=shown)


def _nothing_fitted(
    test: IsolationTest, devices: list[Device], context: Context
) -> Problem:
    tag = context.job.known("joint").record(test.joint_id).key()[0]
    if not devices:
        return Problem("row.no_device", {"joint": tag}, column="joint", value=str(tag))
    first = min(d.fitted_on for d in devices)
    facts = {"tested_on": test.tested_on, "joint": tag, "fitted_on": first}
    day = test.tested_on.isoformat()
    return Problem("row.before_fitted", facts, column="tested_on", value=day)


def _nothing_left(
    test: IsolationTest, fitted: list[Device], context: Context
) -> Problem:
    tag = context.job.known("joint").by_id[cast("int", test.joint_id)][1].key()[0]
    removed = max(cast("dt.date", d.removed_on) for d in fitted)
    facts = {"tested_on": test.tested_on, "joint": tag, "removed_on": removed}
    day = test.tested_on.isoformat()
    return Problem("row.after_removed", facts, column="tested_on", value=day)


def _check_device(
    test: IsolationTest, devices: list[Device], context: Context
) -> Iterator[Problem]:
    fitted = [d for d in devices if d.fitted_on <= test.tested_on]
    if not fitted and test.needs_device:
        yield _nothing_fitted(test, devices, context)
    if fitted and test.needs_device and gone_by(fitted, test.tested_on):
        yield _nothing_left(test, fitted, context)
    yield from part_of_device(test, device_tested(devices, test), context)


def _check_source(record: Record, context: Context) -> Iterator[Problem]:
    source = cast("CurrentSource", record)
    known = context.job.known("structure")
    own = cast("Structure", known.record(source.structure_id)).name
    fed = [name for name in listed(source.also_feeds) if known.id_of((name,))]
    yield from feed_faults(source, own, fed)


def _check_person_row(record: Record, context: Context) -> Iterator[Problem]:
    known, person = context.job.known("person"), cast("Person", record)
    id_ = known.id_of(person.key())
    old = None if id_ is None else cast("Person", known.record(id_))
    return word_faults(old, person)


def _check_attachment(record: Record, context: Context) -> Iterator[Problem]:
    attached = cast("Attachment", record)
    kind = attached.subject.strip().lower().replace(" ", "_")
    if kind not in ATTACHED_TO:
        accepted = ", ".join(k.replace("_", " ") for k in ATTACHED_TO)
        facts = {"accepted": accepted}
        yield Problem("attach.no_kind", facts, column="subject", value=attached.subject)
        return
    key = attached.subject_key
    if is_called(context.job, kind, key) or key in context.keys(kind):
        return
    names = dict(enumerate(context.keys(kind)))
    near = {"kind": attached.subject} | nearest(key, names)
    yield Problem("attach.no_record", near, column="subject_key", value=key)


_CHECKS: dict[str, Callable[[Record, Context], Iterator[Problem]]] = {
    "attachment": _check_attachment,
    "alias": lambda record, known: other_joint(cast("Alias", record), known.job),
    "chainage": lambda record, known: faults_of_chainage(
        cast("Chainage", record), known.job
    ),
    "crew": lambda record, _: words_of_crew(cast("Crew", record)),
    "decision": lambda record, known: decision_faults(cast("Decision", record), known),
    "device": lambda record, known: overlaps(
        cast("Device", record),
        known.devices_of(cast("Device", record).joint_id),
        known.job,
    ),
    "joint": lambda record, _: words_of_joint(cast("Joint", record)),
    "line": lambda record, _: faults_of_shape(cast("Line", record).coordinates),
    "road": lambda record, _: faults_of_shape(cast("Road", record).coordinates),
    "person": _check_person_row,
    "site": lambda record, known: words_of_site(
        cast("Site", record), known.job.site_code
    ),
    "source": _check_source,
    "test": _check_test,
}
