"""What a name is the name of: joints, boundaries, parallel paths."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from jointmap.errors import Problem, WrongUse
from jointmap.register import Boundary, Joint, ParallelPath, Record
from jointmap.snapshot.names.joint_names import joint_of_any_name
from jointmap.snapshot.names.unknown_names import unknown_name
from jointmap.snapshot.snapshot import Snapshot
from jointmap.storage import beside
from jointmap.storage.as_columns.arrays import read_arrays

_KINDS: tuple[tuple[type[Record], str], ...] = (
    (Joint, "tag"),
    (Boundary, "name"),
    (ParallelPath, "name"),
)


@dataclass(frozen=True, slots=True)
class Called:
    """Ids of the joints, boundaries and paths that are called so."""

    joints: tuple[int, ...]
    boundaries: tuple[int, ...]
    paths: tuple[int, ...]

    def __bool__(self) -> bool:
        """Whether anything is called so."""
        return bool(self.joints or self.boundaries or self.paths)


def things_called(state: Snapshot, name: str) -> Called:
    """Return what is called so as it is written, or else whatever the letters' case.

    A joint of an older name comes last of all. A name written as it is on record is
    looked up; only for others all names are read.
    """
    name = name.strip()
    exact = called_exactly(state, name)
    found = exact or Called(*(_whatever_case(state, k, c, name) for k, c in _KINDS))
    return found or Called(_older(state, name), (), ())


def called_exactly(state: Snapshot, name: str) -> Called:
    """Return what is called so as it is written."""
    stored = state.stored
    return Called(*(tuple(stored.ids_with(k, c, [name])) for k, c in _KINDS))


def boundaries_of(state: Snapshot, called: Called) -> set[int]:
    """Return boundaries that are called so, with those of the joints and paths."""
    values_of = state.stored.values_of
    return {
        *called.boundaries,
        *values_of(Joint, "boundary_id", called.joints),
        *values_of(ParallelPath, "boundary_id", called.paths),
    }


def with_joints_around(state: Snapshot, called: Called) -> Called:
    """Return the same, with the joints that the paths go around."""
    around = state.stored.values_of(ParallelPath, "joint_id", called.paths)
    return replace(called, joints=(*called.joints, *around))


def things_asked(state: Snapshot, name: str) -> Called:
    """Return the same; raise ``WrongUse`` for a name of nothing there on the day."""
    found = things_called(state, name)
    if not found:
        raise not_called(state, name.strip(), [kind for kind, _ in _KINDS])
    return found


def not_called(
    state: Snapshot,
    name: str,
    kinds: Sequence[type[Record]],
    more: Sequence[str] = (),
) -> WrongUse:
    """Return the refusal of a name: of what was not there yet, or of nothing at all.

    ``more`` are names that are accepted besides those of ``kinds``.
    """
    if things_called(state.known, name).paths:
        facts = {"name": name, "on": state.stored.on}
        return WrongUse(Problem("path.not_there", facts))
    return unknown_name(state, name, kinds, more)


def _older(state: Snapshot, name: str) -> tuple[int, ...]:
    joint = joint_of_any_name(state, name)
    return () if joint is None else (joint,)


def _whatever_case(
    state: Snapshot, kind: type[Record], column: str, name: str
) -> tuple[int, ...]:
    found = read_arrays(state.stored, kind, [column])
    pairs = zip(found["id"].tolist(), found[column].tolist(), strict=True)
    return tuple(id_ for id_, known in pairs if known.strip().lower() == name.lower())


def names_alike(
    state: Snapshot, kind: type[Record], column: str, names: Iterable[str]
) -> Iterable[str]:
    """Return names of a state with those that only the case of letters tells from them.

    By rising id. All of a whole site are there; of a part others come along, which a
    file system may take for its own.
    """
    stored = state.stored
    return beside.names_alike(stored, kind, column, [*names]) if stored.only else names


def boundary_asked(state: Snapshot, name: str) -> int:
    """Return the boundary of a name; of several but for the letters' case the last.

    Raises ``WrongUse`` for a name of none.
    """
    name = name.strip()
    found = called_exactly(state, name).boundaries or _whatever_case(
        state, Boundary, "name", name
    )
    if not found:
        raise unknown_name(state, name, [Boundary])
    return found[-1]
