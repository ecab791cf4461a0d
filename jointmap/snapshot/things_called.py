"""What a name is the name of: joints, boundaries, parallel paths."""

from collections.abc import Iterable
from dataclasses import dataclass

from jointmap.errors import Problem, WrongUse
from jointmap.register import Boundary, Joint, ParallelPath, Record
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

    A name written as it is on record is looked up; only for others all names are read.
    """
    name = name.strip()
    exact = called_exactly(state, name)
    return exact or Called(*(_whatever_case(state, k, c, name) for k, c in _KINDS))


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


def _whatever_case(
    state: Snapshot, kind: type[Record], column: str, name: str
) -> tuple[int, ...]:
    found = read_arrays(state.stored, kind, [column])
    pairs = zip(found["id"].tolist(), found[column].tolist(), strict=True)
    return tuple(id_ for id_, known in pairs if known.lower() == name.lower())


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

    Raises ``WrongUse`` that names all boundaries for a name of none.
    """
    name = name.strip()
    found = called_exactly(state, name).boundaries or _whatever_case(
        state, Boundary, "name", name
    )
    if not found:
        names = ", ".join(
            read_arrays(state.stored, Boundary, ["name"])["name"].tolist()
        )
        raise WrongUse(Problem("boundary.unknown", {"name": name, "accepted": names}))
    return found[-1]
