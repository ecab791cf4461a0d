"""Days that do not fit a joint's life: tests before it, after it, and no day at all."""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import cast

from jointmap.findings.finder import Finder, Seen, finds
from jointmap.findings.finding import About, Found
from jointmap.findings.kind import Gravity, Kind
from jointmap.register import Device, IsolationTest, Joint
from jointmap.register.codes import LEFT_DUTY, JointState
from jointmap.register.fitting import gone_by

BEFORE_FITTING = Kind("before_fitting", Gravity.FOR_THE_RECORD, "record", "tested")
AFTER_END = Kind("after_end", Gravity.FOR_THE_RECORD, "record", "tested")
NOTHING_FITTED = Kind("nothing_fitted", Gravity.LOOK, "record", "removed")
NO_FIRST_DAY = Kind("no_first_day", Gravity.FOR_THE_RECORD, "record")


@dataclass(slots=True)
class _Odd:
    """The days of the tests of one joint that do not fit, by what they do not fit."""

    before_fitting: list[dt.date] = field(default_factory=list)
    after_removal: list[dt.date] = field(default_factory=list)
    after_duty: list[dt.date] = field(default_factory=list)


@finds(BEFORE_FITTING, AFTER_END)
def odd_days(seen: Seen) -> Iterator[Found]:
    """Yield joints with tests before any device was fitted, or after what was there."""
    devices = _devices(seen)
    for id_, odd in _odd_days(seen, devices).items():
        about, own = About.joint(id_), devices.get(id_, [])
        if odd.before_fitting:
            first = min(d.fitted_on for d in own)
            facts = _facts(odd.before_fitting) | {"fitted": first}
            yield seen.finding(BEFORE_FITTING, about, "before_fitting", **facts)
        if odd.after_removal:
            removed = _last_removed(own, max(odd.after_removal))
            facts = _facts(odd.after_removal) | {"removed": removed}
            yield seen.finding(AFTER_END, about, "after_removal", **facts)
        if odd.after_duty:
            ended = seen.site.joints[id_].out_of_duty_on
            facts = _facts(odd.after_duty) | {"ended": ended}
            yield seen.finding(AFTER_END, about, "after_duty", **facts)


def _facts(days: list[dt.date]) -> dict[str, object]:
    return {"count": len(days), "tested": max(days)}


def _devices(seen: Seen) -> dict[int, list[Device]]:
    found: dict[int, list[Device]] = {}
    for device in seen.site.state.devices.values():
        found.setdefault(device.joint_id, []).append(device)
    return found


def _last_removed(devices: list[Device], by: dt.date) -> dt.date:
    return max(d.removed_on for d in devices if d.removed_on and d.removed_on <= by)


def _odd_days(seen: Seen, devices: Mapping[int, list[Device]]) -> dict[int, _Odd]:
    found: dict[int, _Odd] = {}
    for test in seen.tests.records.values():
        joint = seen.site.joints.get(test.joint_id or 0)
        if joint is None:
            continue
        id_ = cast("int", test.joint_id)
        name = _does_not_fit(test, joint, devices.get(id_, []))
        if name:
            getattr(found.setdefault(id_, _Odd()), name).append(test.tested_on)
    return found


def _does_not_fit(test: IsolationTest, joint: Joint, own: list[Device]) -> str:
    """Return which list of ``_Odd`` a test belongs to; blank for none."""
    day, ended = test.tested_on, joint.out_of_duty_on
    if joint.state in LEFT_DUTY and ended is not None and day > ended:
        return "after_duty"
    if not test.needs_device or not own:
        return ""
    fitted = [d for d in own if d.fitted_on <= day]
    if not fitted:
        return "before_fitting"
    return "after_removal" if gone_by(fitted, day) else ""


@finds(NOTHING_FITTED)
def nothing_fitted(seen: Seen) -> Iterator[Found]:
    """Yield joints in duty whose devices on record were all removed."""
    devices, on = _devices(seen), seen.site.assessed.on
    for id_, joint in seen.site.joints.items():
        own = devices.get(id_, [])
        is_in_duty = joint.state is JointState.IN_DUTY
        if is_in_duty and own and gone_by(own, on + dt.timedelta(days=1)):
            removed = _last_removed(own, on)
            about = About.joint(id_)
            yield seen.finding(NOTHING_FITTED, about, "nothing_fitted", removed=removed)


@finds(NO_FIRST_DAY)
def no_first_day(seen: Seen) -> Iterator[Found]:
    """Yield joints in duty of which no day says since when they are there."""
    devices = _devices(seen)
    for id_, joint in seen.site.joints.items():
        is_in_duty = joint.state is JointState.IN_DUTY
        if is_in_duty and joint.in_duty_on is None and id_ not in devices:
            yield seen.finding(NO_FIRST_DAY, About.joint(id_), "no_first_day")


END_FINDERS: tuple[Finder, ...] = (odd_days, nothing_fitted, no_first_day)
