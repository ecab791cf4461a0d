"""Fitting records of a state, each reviewed with what other records say of it."""

import datetime as dt
from collections.abc import Iterator, Sequence
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
from jointmap.register import (
    Device,
    Installation,
    Record,
    form_of,
)
from jointmap.register.columns import Codes, Days, Floats, Ids
from jointmap.register.joining import NO_ROW, row_of
from jointmap.register.paper_states import PaperState
from jointmap.snapshot.fitted import fitted_in
from jointmap.snapshot.papers.in_date import certificates
from jointmap.snapshot.site_columns import Ground
from jointmap.snapshot.snapshot import Snapshot
from jointmap.storage.as_columns.arrays import read_parts

Array = npt.NDArray[Any]
# Records reviewed at a time, few enough that memory stays small.
_AT_A_TIME = 20_000
_TEXTS_AT_A_TIME = 4


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
        blank = self.review.found["lubricant"].result == Result.NOT_RECORDED
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


def fittings_in(state: Snapshot, fitted_on: dt.date | None = None) -> Fittings:
    """Return all fitting records, or only those of devices fitted on a day."""
    devices = {i: d for i, d in state.devices.items() if d.joint_id in state.joints}
    wanted = set(fitted_in(devices, fitted_on).values()) if fitted_on else devices
    papers = state.fittings.values()
    own = [p for p in papers if p.device_id in wanted]
    return reviewed(state, [(devices[p.device_id], p) for p in own])


def reviewed(state: Snapshot, pairs: list[tuple[Device, Installation]]) -> Fittings:
    """Return the review of some devices and their fitting records."""
    joints = state.joints
    devices, records = [d for d, _ in pairs], [r for _, r in pairs]
    degrees = [joints[d.joint_id].temperature_degc for d in devices]
    days = np.array([r.installed_on for r in records], dtype="datetime64[D]")
    columns = columns_of(Installation, records, (*RECORD_FIELDS, "torque_tool_id"))
    rows = fittings_of(
        columns_of(Device, devices, DEVICE_FIELDS),
        columns,
        np.array(degrees, dtype=np.float64),
        _tools(state, columns["torque_tool_id"], days),
    )
    return Fittings(tuple(devices), tuple(records), review_all(rows))


def reviewed_now(state: Snapshot, ground: Ground) -> Iterator[FittedNow]:
    """Yield the review of every device fitted now, part by part; no record is built."""
    devices = _devices_now(state, ground)
    device_at = row_of(devices["id"], ground.joints.device_id)
    names = ("device_id", "installed_on", "torque_tool_id", *RECORD_FIELDS)
    for part in _parts(state, Installation, names):
        joint = row_of(ground.joints.device_id, part["device_id"])
        now = np.flatnonzero(joint != NO_ROW)
        for rows in np.split(now, range(_AT_A_TIME, len(now), _AT_A_TIME)):
            at = joint[rows]
            yield _reviewed_part(
                state,
                ground,
                at,
                {name: values[device_at[at]] for name, values in devices.items()},
                {name: values[rows] for name, values in part.items()},
            )
        del part  # before the next is read


def _reviewed_part(
    state: Snapshot, ground: Ground, joint: Ids, devices: Columns, records: Columns
) -> FittedNow:
    day = records["installed_on"]
    degrees = ground.joint_facts.temperature_degc[joint]
    tools = _tools(state, records["torque_tool_id"], day)
    found = review_all(fittings_of(devices, records, degrees, tools))
    return FittedNow(ground.joints.joint_id[joint], day, found)


def _devices_now(state: Snapshot, ground: Ground) -> Columns:
    def kept(part: Columns) -> dict[str, Any]:
        is_now = row_of(ground.joints.device_id, part["id"]) != NO_ROW
        return {name: values[is_now] for name, values in part.items()}

    parts = list(map(kept, _parts(state, Device, DEVICE_FIELDS)))
    # A part lets go of a column as it is joined, so no more than one is held twice.
    return {n: _joined([part.pop(n) for part in parts]) for n in list(parts[0])}


def _joined(parts: list[Any]) -> Any:  # noqa: ANN401
    return stacked(parts) if isinstance(parts[0], Coded) else np.concatenate(parts)


def _parts(
    state: Snapshot, kind: type[Record], names: Sequence[str]
) -> Iterator[dict[str, Any]]:
    """Yield fields of a kind, part by part, as the review of fittings takes them."""
    columns = {c.name: c for c in form_of(kind).columns}
    texts = [n for n in names if columns[n].type is str and columns[n].words is None]
    others = [n for n in names if n not in texts]
    numbers = read_parts(state.stored, kind, others)
    # Nothing here keeps a part's numbers while the next are read.
    for words in _texts(state, kind, texts):
        yield {**words, **_numbers(kind, next(numbers))}


def _texts(
    state: Snapshot, kind: type[Record], names: Sequence[str]
) -> Iterator[dict[str, Coded[str]]]:
    # Each by itself a text takes much memory: some are coded before more are read.
    starts = range(0, len(names), _TEXTS_AT_A_TIME)
    groups = [names[start : start + _TEXTS_AT_A_TIME] for start in starts]
    parts = (map(_coded, read_parts(state.stored, kind, group)) for group in groups)
    for found in zip(*parts, strict=True):
        yield {name: column for part in found for name, column in part.items()}


def _coded(part: dict[str, Array]) -> dict[str, Coded[str]]:
    del part["id"]
    return {name: Coded.of(part.pop(name).tolist()) for name in list(part)}


def _numbers(kind: type[Record], part: dict[str, Array]) -> dict[str, Array]:
    """Return NaN for none also of whole numbers, which come with 0 for it."""
    whole = [c.name for c in form_of(kind).columns if c.type is int and c.nullable]
    found = {n: part[n] for n in whole if n in part}
    return {**part, **{n: np.where(v == 0, np.nan, v) for n, v in found.items()}}


def _tools(state: Snapshot, tools: Floats, days: Days) -> Codes:
    """Return what certificates say of torque tools (NaN: none named) on some days."""
    asked = np.nan_to_num(tools).astype(np.int64)
    stands = certificates(state).in_date(asked, days)
    unknown = stands == PaperState.NONE_ON_RECORD
    in_date = np.isin(stands, (PaperState.VALID.code, PaperState.NOT_NEEDED.code))
    return np.select([np.isnan(tools), unknown], [-1, 2], in_date).astype(np.int16)
