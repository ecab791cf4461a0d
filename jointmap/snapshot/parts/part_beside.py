"""What lies beside some joints in time and in place, and no record refers to."""

from collections.abc import Collection

import numpy as np

from jointmap.location import band_deg, to_working
from jointmap.register import Device, Installation, IsolationTest, Position
from jointmap.register.codes import Subject
from jointmap.storage import Reading
from jointmap.storage.as_columns.arrays import read_arrays
from jointmap.storage.beside import ids_between, visits_before
from jointmap.storage.within import Only

Ids = Collection[int]
_JOINT = str(Subject.JOINT)


def beside_in_time(state: Reading, joints: Ids) -> Only:
    """Return where the same persons were before, and what they fitted that day."""
    tests = state.ids_with(IsolationTest, "joint_id", joints)
    fitted = _fitted_that_day(state, joints)
    devices = state.values_of(Installation, "device_id", fitted)
    # Which of the devices of a joint is fitted now is told by all of them.
    others = state.values_of(Device, "joint_id", devices)
    devices = state.ids_with(Device, "joint_id", others)
    return {
        IsolationTest: visits_before(state, tests),
        Device: devices,
        Installation: state.ids_with(Installation, "device_id", devices),
    }


def _fitted_that_day(state: Reading, joints: Ids) -> set[int]:
    """Return the fitting records by the fitters of some joints, of the same days."""
    devices = state.ids_with(Device, "joint_id", joints)
    found: set[int] = set()
    for id_ in state.ids_with(Installation, "device_id", devices):
        fitter = state.values_of(Installation, "fitter_id", [id_])
        (day,) = state.values_of(Installation, "installed_on", [id_])
        own = state.ids_with(Installation, "fitter_id", fitter, installed_on=day)
        found.update(own)
    return found


def joints_around(state: Reading, joint: int, metre: float) -> set[int]:
    """Return the joints within some metres of one in the plane, and itself."""
    crs = state.site.working_crs
    latitude, longitude = _places(state, [joint])[1:]
    if not len(latitude) or np.isnan(latitude + longitude).any():
        return {joint}
    band = band_deg(float(latitude[0]), float(longitude[0]), metre, crs)
    at = float(latitude[0])
    ids = ids_between(
        state, Position, "latitude_deg", at - band, at + band, subject=_JOINT
    )
    near = state.values_of(Position, "subject_id", ids)
    ids_, north, east = _places(state, near)
    x, y = to_working(north, east, crs)
    own = ids_ == joint
    away = np.hypot(x - x[own], y - y[own])
    return {joint, *ids_[away <= metre].tolist()}


def _places(state: Reading, joints: Ids) -> tuple[np.ndarray, ...]:
    """Return joints with their latitude and longitude, where there is a position."""
    ids = state.ids_with(Position, "subject_id", [*joints], subject=_JOINT)
    found = read_arrays(
        state.part({Position: ids}),
        Position,
        ["subject_id", "latitude_deg", "longitude_deg"],
    )
    return found["subject_id"], found["latitude_deg"], found["longitude_deg"]
