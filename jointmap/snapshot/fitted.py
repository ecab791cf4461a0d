"""Which device is fitted at a joint on a day: one answer for everything that asks."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np

from jointmap.register import Device, IsolationTest
from jointmap.register.codes import Stage
from jointmap.register.columns import Days, Flags, Ids
from jointmap.register.joining import NO_ROW
from jointmap.snapshot.gather import Latest

NO_DAY = np.datetime64("NaT", "D")


@dataclass(frozen=True, slots=True)
class Fitted:
    """The devices of a site by joint and day.

    Fitted on a day is the device fitted last by the end of that day, unless it was
    removed by then: on the day of a change it is the new one.
    """

    latest: Latest
    removed_on: Days

    @classmethod
    def of(cls, joint_id: Ids, fitted_on: Days, removed_on: Days) -> Self:
        """Return what answers for devices given as columns of equal length."""
        return cls(Latest.of(joint_id, fitted_on), removed_on)

    def on(self, joint_id: Ids, day: Days) -> Ids:
        """Return the row of the device fitted at each joint on its day; -1 for none."""
        row = self.latest.at(joint_id, day)
        gone = np.append(self.removed_on, NO_DAY)[row] <= day
        return np.where(gone, NO_ROW, row)

    def tested(self, joint_id: Ids, day: Days, as_found: Flags) -> Ids:
        """Return the row of the device that a test of each day was made on.

        On the day of a change a test as found was made before it, any other after; on
        a day that only begins or ends with a device it was made on that one.
        """
        before = self.on(joint_id, day - np.timedelta64(1, "D"))
        after = self.on(joint_id, day)
        first = np.where(as_found, before, after)
        return np.where(first == NO_ROW, np.where(as_found, after, before), first)


def fitted_in(devices: Mapping[int, Device], on: dt.date) -> dict[int, int]:
    """Return the id of the device fitted at each joint on a day, by joint."""
    own = list(devices.values())
    joint_id = np.unique(np.array([d.joint_id for d in own], np.int64))
    day = np.full(len(joint_id), np.datetime64(on, "D"))
    rows = _table(own).on(joint_id, day)
    ids = list(devices)
    pairs = zip(joint_id.tolist(), rows.tolist(), strict=True)
    return {joint: ids[row] for joint, row in pairs if row != NO_ROW}


def device_tested(devices: Sequence[Device], test: IsolationTest) -> Device | None:
    """Return which of the devices of its joint a test was made on, if any was there."""
    as_found = np.array([test.stage is Stage.AS_FOUND])
    joint_id = np.array([test.joint_id or 0], np.int64)
    row = _table(devices).tested(joint_id, _days([test.tested_on]), as_found)[0]
    return None if row == NO_ROW else devices[row]


def _table(devices: Sequence[Device]) -> Fitted:
    return Fitted.of(
        np.array([d.joint_id for d in devices], np.int64),
        _days([d.fitted_on for d in devices]),
        _days([d.removed_on for d in devices]),
    )


def _days(days: Sequence[dt.date | None]) -> Days:
    return np.array(days, dtype="datetime64[D]")
