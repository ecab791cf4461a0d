"""Which test method a visit should use: one that can decide there."""

from jointmap.register.codes import DeviceKind, PathKind, Purpose, Subject, code_of
from jointmap.tables import METHODS
from jointmap.workflows.showing import Showing

_LABELS = {m.code: m.label for m in METHODS}


def method_for(showing: Showing, subject: int, id_: int) -> str:
    """Return the label of the method to use for a subject."""
    return _LABELS[method_code_for(showing, subject, id_)]


def method_code_for(showing: Showing, subject: int, id_: int) -> str:
    """Return the code of a method that can decide at this place.

    Ship/shore: resistance while hanging free. Both sides under current: a shift, for
    a difference proves nothing there. Otherwise a difference with one electrode.
    """
    if subject == code_of(Subject.JOINT):
        return _of_joint(showing, id_)
    if subject == code_of(Subject.PATH):
        surge = showing.paths[id_].kind is PathKind.SURGE_DEVICE
        return "surge-device-check" if surge else "bond-check"
    if subject == code_of(Subject.SOURCE):
        return "source-output"
    return _of_boundary(showing, id_)


def _of_joint(showing: Showing, id_: int) -> str:
    boundary_id = showing.joints[id_].boundary_id
    row = showing.joint_rows[id_]
    kind = int(showing.assessed.ground.joints.device_kind[row])
    if showing.boundaries[boundary_id].purpose is Purpose.SHIP_SHORE:
        return "ohmmeter"
    aboveground = not showing.joints[id_].is_buried
    small = kind in (code_of(DeviceKind.UNION), code_of(DeviceKind.COUPLING))
    if small and aboveground:
        return "radio-frequency"
    return _of_boundary(showing, boundary_id)


def _of_boundary(showing: Showing, id_: int) -> str:
    ground = showing.assessed.ground
    boundary = showing.boundaries[id_]
    protected = dict(
        zip(
            ground.structures["id"].tolist(),
            ground.structures["is_protected"].tolist(),
            strict=True,
        )
    )
    ends = (boundary.structure_a_id, boundary.structure_b_id)
    under_current = any(protected[s] for s in ends)
    return "potential-shift" if under_current else "potential-difference"
