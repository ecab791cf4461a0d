"""Fitting records of a state, each reviewed with what other records say of it."""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from jointmap.assembly import (
    Check,
    Result,
    Review,
    Surroundings,
    fittings_of,
    review_all,
)
from jointmap.register import Certificate, Device, Installation, Joint
from jointmap.register.codes import code_of
from jointmap.storage import Reading


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
    joints, papers = state.records(Joint), _certificates(state)
    around = [
        Surroundings(joints[d.joint_id].temperature_degc, _tool_in_date(r, papers))
        for d, r in pairs
    ]
    devices, records = [d for d, _ in pairs], [r for _, r in pairs]
    found = review_all(fittings_of(devices, records, around))
    return Fittings(tuple(devices), tuple(records), found)


def _certificates(state: Reading) -> Mapping[int, list[Certificate]]:
    found: dict[int, list[Certificate]] = {}
    for paper in state.records(Certificate).values():
        found.setdefault(paper.instrument_id, []).append(paper)
    return found


def _tool_in_date(
    record: Installation, papers: Mapping[int, list[Certificate]]
) -> bool | None:
    own = papers.get(record.torque_tool_id or 0)
    if not own:
        return None
    day = record.installed_on
    return any(p.valid_from_on <= day <= p.valid_until_on for p in own)
