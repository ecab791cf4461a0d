"""What a name is the name of: joints, boundaries, parallel paths."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from jointmap.errors import Problem, WrongUse
from jointmap.register import Boundary, Joint, ParallelPath, Record
from jointmap.snapshot.joint_names import joint_of_any_name
from jointmap.snapshot.unknown_names import unknown_name
from jointmap.storage import Reading, beside
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


def things_called(state: Reading, name: str) -> Called:
    """Return what is called so as it is written, or else whatever the letters' case.

    A joint of an older name comes last of all. A name written as it is on record is
    looked up; only for others all names are read.
    """
    name = name.strip()
    exact = Called(*(tuple(state.ids_with(k, c, [name])) for k, c in _KINDS))
    found = exact or Called(*(_whatever_case(state, k, c, name) for k, c in _KINDS))
    return found or Called(_older(state, name), (), ())


def things_asked(state: Reading, name: str) -> Called:
    """Return the same; raise ``WrongUse`` for a name of nothing there on the day."""
    found = things_called(state, name)
    if not found:
        raise not_called(state, name.strip(), [kind for kind, _ in _KINDS])
    return found


def not_called(
    state: Reading,
    name: str,
    kinds: Sequence[type[Record]],
    more: Sequence[str] = (),
) -> WrongUse:
    """Return the refusal of a name: of what was not there yet, or of nothing at all.

    ``more`` are names that are accepted besides those of ``kinds``.
    """
    if things_called(state.whatever_day, name).paths:
        return WrongUse(Problem("path.not_there", {"name": name, "on": state.on}))
    return unknown_name(state, name, kinds, more)


def _older(state: Reading, name: str) -> tuple[int, ...]:
    joint = joint_of_any_name(state, name)
    return () if joint is None else (joint,)


def _whatever_case(
    state: Reading, kind: type[Record], column: str, name: str
) -> tuple[int, ...]:
    found = read_arrays(state, kind, [column])
    pairs = zip(found["id"].tolist(), found[column].tolist(), strict=True)
    return tuple(id_ for id_, known in pairs if known.lower() == name.lower())


def gone_around(state: Reading, paths: Collection[int]) -> set[int]:
    """Return the joints that some parallel paths go around, where that is on record."""
    return {id_ for id_ in state.values_of(ParallelPath, "joint_id", paths) if id_}


def names_alike(
    state: Reading, kind: type[Record], column: str, names: Iterable[str]
) -> Iterable[str]:
    """Return names of a state with those that only the case of letters tells from them.

    By rising id. All of a whole site are there; of a part others come along, which a
    file system may take for its own.
    """
    return beside.names_alike(state, kind, column, [*names]) if state.only else names


def boundary_asked(state: Reading, name: str) -> int:
    """Return the boundary of a name; of several but for the letters' case the last.

    Raises ``WrongUse`` for a name of none.
    """
    name = name.strip()
    exact = tuple(state.ids_with(Boundary, "name", [name]))
    found = exact or _whatever_case(state, Boundary, "name", name)
    if not found:
        raise unknown_name(state, name, [Boundary])
    return found[-1]
