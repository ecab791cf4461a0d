"""Whether the joint and the boundary that a row names belong together."""

import datetime as dt
from collections.abc import Iterator

from jointmap.changes.rows.context import Context
from jointmap.errors import Problem
from jointmap.register import (
    Boundary,
    IsolationTest,
    Occurrence,
    ParallelPath,
    Record,
)


def joint_elsewhere(
    record: Record, context: Context, before: Record | None = None
) -> Iterator[Problem]:
    """Yield a fault for a joint of another boundary than the one named beside it.

    What stood ``before`` is not asked about again. A reading may be taken at a joint of
    a boundary between the very same structures.
    """
    if not isinstance(record, IsolationTest | ParallelPath | Occurrence):
        return
    joint_id, named = _place(record)
    if joint_id is None or named is None or _place(before) == (joint_id, named):
        return
    joint = context.joint_on(joint_id, _day(record) or context.today)
    own, other = context.boundary(joint.boundary_id), context.boundary(named)
    if not _is_one(own, other, may_be_beside=isinstance(record, IsolationTest)):
        facts = {"own": own.name, "named": other.name}
        yield Problem("row.joint_elsewhere", facts, column="joint", value=joint.tag)


def _place(record: Record | None) -> tuple[int | None, int | None]:
    return getattr(record, "joint_id", None), getattr(record, "boundary_id", None)


def _is_one(own: Boundary, other: Boundary, *, may_be_beside: bool) -> bool:
    return own.name == other.name or (may_be_beside and _sides(own) == _sides(other))


def _day(record: IsolationTest | ParallelPath | Occurrence) -> dt.date | None:
    if isinstance(record, IsolationTest):
        return record.tested_on
    return record.fitted_on if isinstance(record, ParallelPath) else record.happened_on


def _sides(boundary: Boundary) -> set[int]:
    return {boundary.structure_a_id, boundary.structure_b_id}
