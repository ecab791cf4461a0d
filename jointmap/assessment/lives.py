"""The joints' lives as the failure model takes them."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from jointmap.hazard.ages import Change, LifeEvents
from jointmap.hazard.dates import LifeColumns
from jointmap.hazard.failure_model import MECHANISMS
from jointmap.intervals import (
    CountingTests,
    SubjectColumns,
)
from jointmap.intervals.facts import day_key, rows_of, stack
from jointmap.register.codes import (
    DeviceKind,
    Purpose,
    Severity,
    Stage,
    Subject,
    Verdict,
)
from jointmap.register.columns import Codes, Days, Flags, Ids, TestColumns, narrow
from jointmap.register.joining import row_of
from jointmap.snapshot.gather import pick
from jointmap.snapshot.site_columns import NO_DAY, Ground

Array = npt.NDArray[Any]
_ISOLATING, _SHORTED = Verdict.ISOLATING.code, Verdict.SHORTED.code
AS_FOUND, RENEWED, AS_LEFT = 0, 1, 2


@dataclass(frozen=True, slots=True)
class Lives:
    """The joints that have a start, and what they are called.

    ``device_names`` and ``place_names`` are the classes that ``columns`` counts in.
    """

    columns: LifeColumns
    subject_row: Ids  # place of each joint in the subjects
    joint_row: Ids  # place of each joint in the ground's joints
    device_names: tuple[str, ...]
    place_names: tuple[str, ...]


def read_lives(
    ground: Ground,
    tests: TestColumns,
    subjects: SubjectColumns,
    counting: CountingTests,
) -> tuple[Lives, LifeEvents]:
    """Return the life of every joint with a fitting, duty or test day to start from.

    Its events are those of ``counting``, the tests of ``subjects``. A good boundary
    reading is in the history of each joint it credits; a bad one condemns none and so
    is in no joint's record.
    """
    joints = ground.joints
    subject = np.full(len(joints), Subject.JOINT.code, np.int16)
    subject_row = rows_of(subjects, subject, joints.joint_id)
    joint_of = np.full(len(subjects), -1)
    joint_of[subject_row] = np.arange(len(joints))
    own = counting.take(joint_of[counting.row] >= 0)
    row = joint_of[own.row]
    starts_on = _starts(ground, row, own.tested_on)
    some = np.flatnonzero(~np.isnat(starts_on))
    place = np.full(len(joints), -1)
    place[some] = np.arange(len(some))
    found = _events(ground, tests, own, row, starts_on)
    kept = (place[found.row] >= 0) & ~(found.happened_on < starts_on[found.row])
    found = found.take(kept)
    events = LifeEvents(
        narrow(place[found.row]),
        *(getattr(found, n) for n in list(LifeEvents.__dataclass_fields__)[1:]),
    )
    device, place_class = _classes(ground)
    columns = LifeColumns(
        starts_on[some],
        device[1][some],
        place_class[1][some],
        joints.consequence[some],
        _mechanism(ground)[some],
        np.zeros((len(some), 5)),
    )
    lives = Lives(columns, subject_row[some], some, device[0], place_class[0])
    return lives, events


def _starts(ground: Ground, row: Ids, tested_on: Days) -> Days:
    """Return the first fitting; else the day in duty; else the first test."""
    joints = ground.joints
    at = row_of(joints.joint_id, ground.devices.joint_id)
    first = _earliest(at[at >= 0], ground.devices.fitted_on[at >= 0], len(joints))
    tested = _earliest(row, tested_on, len(joints))
    starts = np.where(np.isnat(first), joints.in_duty_on, first)
    return np.where(np.isnat(starts), tested, starts)


def _earliest(row: Ids, days: Days, rows: int) -> Days:
    far = np.iinfo(np.int64).max
    found = np.full(rows, far)
    np.minimum.at(found, row, days.astype("datetime64[D]").astype(np.int64))
    return np.where(found == far, NO_DAY, found.astype("datetime64[D]"))


def _classes(
    ground: Ground,
) -> tuple[tuple[tuple[str, ...], Codes], tuple[tuple[str, ...], Codes]]:
    joints = ground.joints
    # One number for all three, -1 included.
    facts = (joints.device_kind + 1) * 64 + (joints.severity + 1) * 8
    kinds, device = np.unique(facts + _mechanism(ground), return_inverse=True)
    names = tuple(
        f"{_word(DeviceKind, n // 64 - 1)}, {_word(Severity, n // 8 % 8 - 1)}, "
        f"{MECHANISMS[n % 8]}"
        for n in kinds.tolist()
    )
    purposes, place = np.unique(joints.purpose, return_inverse=True)
    places = tuple(_word(Purpose, int(p)) for p in purposes)
    return (names, device.astype(np.int16)), (places, place.astype(np.int16))


def _mechanism(ground: Ground) -> Codes:
    """Return the place of each joint in ``MECHANISMS``."""
    return ground.joint_facts.is_buried.astype(np.int16)


def _word(family: Any, code: int) -> str:  # noqa: ANN401
    return str(family.at(code)) if code >= 0 else "not stated"


def _events(
    ground: Ground, tests: TestColumns, own: CountingTests, row: Ids, starts_on: Days
) -> LifeEvents:
    renewals = _renewals(ground, starts_on)
    fitted = renewals.take(renewals.change == Change.DEVICE)
    at = row_of(tests.test_id, own.test_id)
    stage = tests.stage[at]
    # Of the day of a fitting every test but that as found is of the new device.
    on_fitting = _among(
        day_key(row, own.tested_on), day_key(fitted.row, fitted.happened_on)
    )
    as_found = stage == Stage.AS_FOUND
    after = (on_fitting & ~as_found) | (stage == Stage.AS_LEFT)
    no = np.broadcast_to(np.False_, row.shape)
    made = LifeEvents(
        row,
        own.tested_on,
        np.where(after, np.int16(AS_LEFT), np.int16(AS_FOUND)),
        np.broadcast_to(np.int16(Change.NONE), row.shape),
        tests.method[at],
        own.verdict,
        no,
        no,
    )
    whole = stack([made, renewals])
    mended = whole.take(_mended(whole))
    cleared = _renewal(mended.row, mended.happened_on, Change.PLACE)
    whole = stack([whole, cleared])
    return _with_causes(whole, mended)


def _among(keys: Ids, some: Ids) -> Flags:
    """Return which keys are among ``some``, of which there are far fewer."""
    known = np.append(np.unique(some), np.iinfo(np.int64).max)
    found: Flags = known[np.searchsorted(known, keys)] == keys
    return found


def _renewals(ground: Ground, starts_on: Days) -> LifeEvents:
    ids = ground.joints.joint_id
    devices, paths = ground.devices, ground.paths
    found = []
    for joint, day, change in (
        (devices.joint_id, devices.fitted_on, Change.DEVICE),
        (paths.joint_id, paths.removed_on, Change.PLACE),
    ):
        row = row_of(ids, joint)
        began = pick(starts_on, row, NO_DAY)
        real = (row >= 0) & (day > began) & (day <= ground.on)
        found.append(_renewal(row[real], day[real], change))
    return stack(found)


def _renewal(row: Ids, day: Days, change: Change) -> LifeEvents:
    none = np.full(len(row), -1, np.int16)
    no = np.zeros(len(row), np.bool_)
    turn = np.full(len(row), RENEWED, np.int16)
    return LifeEvents(
        row, day, turn, np.full(len(row), change, np.int16), none, none, no, no
    )


def _order(events: LifeEvents) -> Ids:
    key = day_key(events.row, events.happened_on) * 4 + events.turn
    order: Ids = np.argsort(key, kind="stable")
    return order


def _last_shorted(events: LifeEvents) -> Flags:
    """Return for each event whether its joint's last test before it read shorted.

    A renewal in between has answered the short.
    """
    order = _order(events)
    own = events.take(order)
    place = np.arange(len(own))
    said = (own.verdict >= 0) | (own.change != Change.NONE)
    last = np.maximum.accumulate(np.where(said, place, -1))
    before = np.concatenate([[-1], last[:-1]])[: len(own)]
    same = (before >= 0) & (own.row[before] == own.row)
    found = np.zeros(len(own), np.bool_)
    found[order] = same & (own.verdict[before] == _SHORTED)
    return found


def _mended(events: LifeEvents) -> Flags:
    """Return good tests as left right after a short, with no repair on record."""
    good: Flags = (events.verdict == _ISOLATING) & (events.turn == AS_LEFT)
    good &= _last_shorted(events)
    return good


def _with_causes(events: LifeEvents, mended: LifeEvents) -> LifeEvents:
    """Say of renewals after a short what was at fault, where the record tells."""
    shorted = _last_shorted(events)
    unknown = _among(
        day_key(events.row, events.happened_on),
        day_key(mended.row, mended.happened_on),
    )
    return LifeEvents(
        events.row,
        events.happened_on,
        events.turn,
        events.change,
        events.method,
        events.verdict,
        shorted & (events.change == Change.DEVICE),
        shorted & (events.change == Change.PLACE) & ~unknown,
    )
