"""Fitting records of a state, each reviewed with what other records say of it."""

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from jointmap.assembly import (
    DEVICE_FIELDS,
    RECORD_FIELDS,
    Check,
    Coded,
    Columns,
    Result,
    Review,
    columns_of,
    fittings_of,
    review_all,
    stacked,
)
from jointmap.register import Certificate, Device, Installation, Joint
from jointmap.register.codes import code_of
from jointmap.register.columns import Codes, Days, Ids
from jointmap.register.joining import NO_ROW, row_of
from jointmap.storage import Reading
from jointmap.storage.arrays import read_arrays
from jointmap.workflows.columns import Ground
from jointmap.workflows.gather import is_within

Array = npt.NDArray[Any]
# Records reviewed at a time, few enough that memory stays small.
_AT_A_TIME = 20_000


@dataclass(frozen=True, slots=True)
class Fittings:
    """Devices with their fitting records, in the order of the rows of ``review``."""

    devices: tuple[Device, ...]
    records: tuple[Installation, ...]
    review: Review

    def faults(self) -> Iterator[tuple[Device, Installation, Check]]:
        """Yield everything that does not meet, with its device and record."""
        for row, check in self.review.faults():
            yield self.devices[row], self.records[row], check

    def same_day(self) -> Iterator[tuple[Device, Installation, Device, Check]]:
        """Yield records that name no lubricant, where the fitter used a wrong one.

        Last come the device of that day with the wrong lubricant, and the check on it.
        """
        wrong: dict[tuple[int | None, dt.date], tuple[Device, Check]] = {
            (record.fitter_id, record.installed_on): (device, check)
            for device, record, check in self.faults()
            if check.name == "lubricant" and record.fitter_id is not None
        }
        blank = self.review.found["lubricant"].result == code_of(Result.NOT_RECORDED)
        for row in np.flatnonzero(blank).tolist():
            record = self.records[row]
            found = wrong.get((record.fitter_id, record.installed_on))
            if found is not None:
                yield self.devices[row], record, *found


@dataclass(frozen=True, slots=True)
class FittedNow:
    """Some fitting records of devices fitted now, reviewed; columns by row."""

    joint_id: Ids
    installed_on: Days
    review: Review


def fittings_in(state: Reading, *, fitted_now: bool) -> Fittings:
    """Return all fitting records, or only those of devices not removed."""
    devices = state.records(Device)
    pairs = [
        (devices[r.device_id], r)
        for r in state.records(Installation).values()
        if not fitted_now or devices[r.device_id].removed_on is None
    ]
    return reviewed(state, pairs)


def reviewed(state: Reading, pairs: list[tuple[Device, Installation]]) -> Fittings:
    """Return the review of some devices and their fitting records."""
    joints = state.records(Joint)
    devices, records = [d for d, _ in pairs], [r for _, r in pairs]
    degrees = [joints[d.joint_id].temperature_degc for d in devices]
    tools = [r.torque_tool_id or 0 for r in records]
    days = [r.installed_on for r in records]
    rows = fittings_of(
        columns_of(Device, devices, DEVICE_FIELDS),
        columns_of(Installation, records, RECORD_FIELDS),
        np.array(degrees, dtype=np.float64),
        _tools(state, np.array(tools, np.int64), np.array(days, "datetime64[D]")),
    )
    return Fittings(tuple(devices), tuple(records), review_all(rows))


def reviewed_now(state: Reading, ground: Ground) -> Iterator[FittedNow]:
    """Yield the review of every device fitted now, part by part; no record is built."""
    devices = _devices_now(state, ground)
    for part in state.parts(Installation, _AT_A_TIME):
        names = ["device_id", "installed_on", "torque_tool_id", *RECORD_FIELDS]
        found = read_arrays(part, Installation, names)
        own = row_of(ground.joints.device_id, found["device_id"])
        found = {name: values[own != NO_ROW] for name, values in found.items()}
        own = own[own != NO_ROW]
        fitted = row_of(devices["id"], found["device_id"])
        rows = fittings_of(
            {name: devices[name][fitted] for name in DEVICE_FIELDS},
            _columns(found, RECORD_FIELDS),
            ground.joint_facts["temperature_degc"][own],
            _tools(state, found["torque_tool_id"], found["installed_on"]),
        )
        joints = ground.joints.joint_id[own]
        yield FittedNow(joints, found["installed_on"], review_all(rows))


def _devices_now(state: Reading, ground: Ground) -> Columns:
    parts: list[dict[str, Any]] = []
    for part in state.parts(Device, _AT_A_TIME):
        found = read_arrays(part, Device, DEVICE_FIELDS)
        is_now = row_of(ground.joints.device_id, found["id"]) != NO_ROW
        kept = {name: values[is_now] for name, values in found.items()}
        parts.append({"id": kept["id"], **_columns(kept, DEVICE_FIELDS)})
    # A part lets go of a column as it is joined, so no more than one is held twice.
    return {n: _joined([part.pop(n) for part in parts]) for n in list(parts[0])}


def _joined(parts: list[Any]) -> Any:  # noqa: ANN401
    return stacked(parts) if isinstance(parts[0], Coded) else np.concatenate(parts)


def _columns(found: Mapping[str, Array], names: Iterable[str]) -> Columns:
    return {name: _column(found[name]) for name in names}


def _column(values: Array) -> Any:  # noqa: ANN401
    if values.dtype == np.object_:
        return Coded.of(values.tolist())
    # Whole numbers come with 0 for none.
    return np.where(values == 0, np.nan, values) if values.dtype == np.int64 else values


def _tools(state: Reading, tools: Ids, days: Days) -> Codes:
    """Return what certificates say of torque tools (0: none named) on some days."""
    papers = state.records(Certificate).values()
    ids = np.array([p.instrument_id for p in papers], dtype=np.int64)
    first = np.array([p.valid_from_on for p in papers], dtype="datetime64[D]")
    last = np.array([p.valid_until_on for p in papers], dtype="datetime64[D]")
    in_date = is_within(ids, first, last, tools, days)
    unknown = ~np.isin(tools, ids)
    return np.select([tools == 0, unknown], [-1, 2], in_date).astype(np.int16)
