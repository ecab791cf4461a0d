"""Which test method a visit should use: one that can decide there."""

from typing import Any

import numpy as np
import numpy.typing as npt

from jointmap.assessment.assess import Assessment
from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.assessment.subjects import boundary_of
from jointmap.register.codes import DeviceKind, PathKind, Purpose, Subject
from jointmap.register.columns import Codes, Ids
from jointmap.register.joining import row_of
from jointmap.snapshot.gather import pick
from jointmap.tables import METHOD_CODES, METHODS

Array = npt.NDArray[Any]
_LABELS = np.array([m.label for m in METHODS], dtype=object)
_SMALL = [kind.code for kind in (DeviceKind.UNION, DeviceKind.COUPLING)]


def method_for(site: SiteOnDay, subject: int, id_: int) -> str:
    """Return the label of the method to use for a subject."""
    return str(methods_of(site.assessed, *_one(subject, id_))[0])


def method_code_for(site: SiteOnDay, subject: int, id_: int) -> str:
    """Return the code of a method that can decide at this place."""
    return METHODS[int(method_codes(site.assessed, *_one(subject, id_))[0])].code


def methods_of(found: Assessment, subject: Codes, subject_id: Ids) -> Array:
    """Return the label of the method to use for each subject."""
    labels: Array = _LABELS[method_codes(found, subject, subject_id)]
    return labels


def _one(subject: int, id_: int) -> tuple[Codes, Ids]:
    return np.array([subject], np.int16), np.array([id_])


def method_codes(found: Assessment, subject: Codes, subject_id: Ids) -> Ids:
    """Return the place in ``METHODS`` of a method that can decide.

    Ship/shore: resistance while hanging free. Both sides under current: a shift, for
    a difference proves nothing there. Otherwise a difference with one electrode.
    """
    ground = found.ground
    joint_id, path_id = (
        np.where(subject == kind.code, subject_id, 0)
        for kind in (Subject.JOINT, Subject.PATH)
    )
    joint = row_of(ground.joints.joint_id, joint_id)
    path = row_of(ground.paths.path_id, path_id)
    boundary = row_of(
        ground.boundaries.boundary_id, boundary_of(ground, subject, subject_id)
    )
    under_current = pick(ground.boundaries.is_protected, boundary, False)
    small = np.isin(pick(ground.joints.device_kind, joint, -1), _SMALL)
    small &= ~pick(ground.joint_facts.is_buried, joint, True)
    ship_shore = pick(ground.boundaries.purpose, boundary, -1) == Purpose.SHIP_SHORE
    surge = pick(ground.paths.kind, path, -1) == PathKind.SURGE_DEVICE
    cases = [
        (subject == Subject.SOURCE, "source-output"),
        ((path >= 0) & surge, "surge-device-check"),
        (path >= 0, "bond-check"),
        ((joint >= 0) & ship_shore, "ohmmeter"),
        (small, "radio-frequency"),
        (under_current, "potential-shift"),
    ]
    return np.select(
        [where for where, _ in cases],
        [METHOD_CODES[code] for _, code in cases],
        METHOD_CODES["potential-difference"],
    )
