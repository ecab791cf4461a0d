"""What the last entry of a state touches: some joints and boundaries, or the site."""

from dataclasses import dataclass

from jointmap.register import FORMS, Boundary, Device, Joint
from jointmap.register.codes import Subject
from jointmap.snapshot.snapshot import Snapshot

# Records that every joint may hang on.
OF_THE_SITE = (
    "site", "line", "chainage", "structure", "source", "crew", "day_off", "road",
    "rule", "limit", "model",
)  # fmt: skip
# Records of one joint or one boundary, by the fields that say which.
OF_A_PLACE = {
    "alias": ("joint_id",),
    "test_point": ("joint_id",),
    "device": ("joint_id",),
    "path": ("joint_id", "boundary_id"),
    "occurrence": ("joint_id", "boundary_id"),
    "test": ("joint_id", "boundary_id"),
}


@dataclass(frozen=True, slots=True)
class Touched:
    """Ids of joints and boundaries, rising; of all of them if the site was touched."""

    joints: tuple[int, ...]
    boundaries: tuple[int, ...]
    is_whole: bool


def everything(state: Snapshot) -> Touched:
    """Return the whole of a site as touched."""
    joints, bounds = state.joints, state.boundaries
    return Touched(tuple(sorted(joints)), tuple(sorted(bounds)), True)


def touched(state: Snapshot) -> Touched:
    """Return what the last entry of a state touches."""
    if any(
        state.stored.written_last(FORMS[kind].record, ("id",)) for kind in OF_THE_SITE
    ):
        return everything(state)
    found: dict[str, set[int]] = {"joint_id": _places(state), "boundary_id": set()}
    for kind, names in OF_A_PLACE.items():
        for row in state.stored.written_last(FORMS[kind].record, names):
            for name, id_ in zip(names, row, strict=True):
                if id_ is not None:
                    found[name].add(id_)
    joints = found["joint_id"] | _ids(state, Joint)
    bounds = found["boundary_id"] | _ids(state, Boundary)
    return Touched(tuple(sorted(joints)), tuple(sorted(bounds)), False)


def _ids(state: Snapshot, kind: type[Joint | Boundary]) -> set[int]:
    return {row[0] for row in state.stored.written_last(kind, ("id",))}


def _places(state: Snapshot) -> set[int]:
    """Return the joints whose position or fitting record was written."""
    position, fitted = FORMS["position"].record, FORMS["installation"].record
    rows = state.stored.written_last(position, ("subject", "subject_id"))
    found = {id_ for subject, id_ in rows if subject == Subject.JOINT}
    devices = {row[0] for row in state.stored.written_last(fitted, ("device_id",))}
    if devices:
        found |= state.stored.values_of(Device, "joint_id", devices)
    return found
