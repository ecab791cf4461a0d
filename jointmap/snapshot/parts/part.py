"""What the answers about a few joints hang on, found by indexes: a part of a state.

A part is read like the whole; it holds every record of the boundaries asked about, of
all joints on these, and what those refer to. What is told of the whole site is not in
it: see ``jointmap.assessment.whole_site``.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from jointmap.register import Joint, Record
from jointmap.snapshot.parts import part_rows
from jointmap.snapshot.parts.part_beside import beside_in_time, joints_around
from jointmap.snapshot.parts.part_closed import closed
from jointmap.snapshot.parts.part_rows import rows_of_boundaries
from jointmap.snapshot.parts.part_told import told_by_name
from jointmap.snapshot.snapshot import Snapshot
from jointmap.storage import Reading
from jointmap.storage.within import Only

Ids = Collection[int]


@dataclass(frozen=True, slots=True)
class Part:
    """A state with fewer rows; of these boundaries it tells what the whole does.

    Others are in it only because something refers to them.
    """

    state: Snapshot
    boundaries: frozenset[int]


def part_of(whole: Snapshot, joints: Iterable[int], boundaries: Ids = ()) -> Part:
    """Return what the dates and verdicts of some joints and boundaries hang on.

    All joints of a boundary belong to it: the worst place speaks for the whole.
    """
    own = _boundaries(whole.stored, joints, boundaries)
    return _part(whole.stored, own, rows_of_boundaries(whole.stored, own))


def part_found(whole: Snapshot, joints: Ids, boundaries: Ids = ()) -> Part:
    """Return what the findings about some joints hang on besides.

    That is where the same persons were before, and what they fitted on the same day.
    """
    state = whole.stored
    own = _boundaries(state, joints, boundaries)
    only = rows_of_boundaries(state, own)
    return _part(state, own, united(only, beside_in_time(state, joints)))


def boundaries_near(whole: Snapshot, joint: int, metre: float) -> set[int]:
    """Return the boundaries of the joints near to one."""
    near = joints_around(whole.stored, joint, metre)
    return {*whole.stored.values_of(Joint, "boundary_id", near)}


def part_touched(whole: Snapshot, joints: Ids, boundaries: Ids) -> Snapshot:
    """Return the part of some joints and boundaries with all that came in last."""
    state = whole.stored
    only = part_of(whole, joints, boundaries).state.stored.only
    last = {kind: {*ids, *_last(state, kind)} for kind, ids in only.items()}
    return Snapshot(state.part(closed(state, last)))


def sides_of(whole: Snapshot, boundaries: Ids) -> set[int]:
    """Return the structures that are a side of some boundaries."""
    return part_rows.sides_of(whole.stored, boundaries)


def fed_around(whole: Snapshot, structures: set[int]) -> tuple[set[int], set[int]]:
    """Return structures with all fed together with them, and the boundaries of all."""
    fed = part_rows.fed_together(whole.stored, structures)
    return fed, part_rows.with_side(whole.stored, fed)


def united(one: Only, other: Only) -> Only:
    """Return the ids of both."""
    return {
        kind: {*one.get(kind, ()), *other.get(kind, ())} for kind in {**one, **other}
    }


def _boundaries(state: Reading, joints: Iterable[int], more: Ids) -> set[int]:
    return {*more, *state.values_of(Joint, "boundary_id", [*joints])}


def _part(state: Reading, own: set[int], only: Only) -> Part:
    only = united(only, told_by_name(state, only))
    return Part(Snapshot(state.part(closed(state, only))), frozenset(own))


def _last(state: Reading, kind: type[Record]) -> set[int]:
    return {row[0] for row in state.written_last(kind, ("id",))}
