"""What the answers about a few joints hang on, found by indexes: a part of a state.

A part is read like the whole; it holds every record of the boundaries asked about, of
all joints on these, and what those refer to. What is told of the whole site is not in
it: see ``jointmap.assessment.whole_site``.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from jointmap.register import Joint, Record
from jointmap.snapshot.parts.part_beside import beside_in_time, joints_around
from jointmap.snapshot.parts.part_closed import closed
from jointmap.snapshot.parts.part_rows import rows_of_boundaries
from jointmap.snapshot.parts.part_told import told_by_name
from jointmap.storage import Reading
from jointmap.storage.within import Only

Ids = Collection[int]


@dataclass(frozen=True, slots=True)
class Part:
    """A state with fewer rows; of these boundaries it tells what the whole does.

    Others are in it only because something refers to them.
    """

    state: Reading
    boundaries: frozenset[int]


def part_of(state: Reading, joints: Iterable[int], boundaries: Ids = ()) -> Part:
    """Return what the dates and verdicts of some joints and boundaries hang on.

    All joints of a boundary belong to it: the worst place speaks for the whole.
    """
    own = _boundaries(state, joints, boundaries)
    return _part(state, own, rows_of_boundaries(state, own))


def part_found(state: Reading, joints: Ids, boundaries: Ids = ()) -> Part:
    """Return what the findings about some joints hang on besides.

    That is where the same persons were before, and what they fitted on the same day.
    """
    own = _boundaries(state, joints, boundaries)
    only = rows_of_boundaries(state, own)
    return _part(state, own, united(only, beside_in_time(state, joints)))


def part_seen(state: Reading, joint: int, metre: float) -> Part:
    """Return what the whole life of a joint hangs on, with the joints near to it."""
    near = joints_around(state, joint, metre)
    boundaries = state.values_of(Joint, "boundary_id", near)
    return part_found(state, [joint], boundaries)


def part_touched(state: Reading, joints: Ids, boundaries: Ids) -> Reading:
    """Return the part of some joints and boundaries with all that came in last."""
    only = part_of(state, joints, boundaries).state.only
    last = {kind: {*ids, *_last(state, kind)} for kind, ids in only.items()}
    return state.part(closed(state, last))


def united(one: Only, other: Only) -> Only:
    """Return the ids of both."""
    return {
        kind: {*one.get(kind, ()), *other.get(kind, ())} for kind in {**one, **other}
    }


def _boundaries(state: Reading, joints: Iterable[int], more: Ids) -> set[int]:
    return {*more, *state.values_of(Joint, "boundary_id", [*joints])}


def _part(state: Reading, own: set[int], only: Only) -> Part:
    only = united(only, told_by_name(state, only))
    return Part(state.part(closed(state, only)), frozenset(own))


def _last(state: Reading, kind: type[Record]) -> set[int]:
    return {row[0] for row in state.written_last(kind, ("id",))}
