"""What verdicts and dates are judged by, of each kind, beside the rules themselves.

A joint's state and days of duty, a boundary's permission to be joined and the end of a
device come with a decision or a record of their own, and are not named here.
"""

from jointmap.register.fields import ABOUT_THE_ROW, Record, form_of
from jointmap.register.fitting import ParallelPath
from jointmap.register.place import Position
from jointmap.register.testing import IsolationTest

# Of a test all counts but what was noted beside it.
_BESIDE = {"ground", "weather", "line_id", "remark", *ABOUT_THE_ROW}
# A better survey of the same place: about 11 m.
_SAME_PLACE_DEG = 1e-4

JUDGED_BY: dict[str, frozenset[str]] = {
    "structure": frozenset({"kind", "is_protected", "is_separate"}),
    "boundary": frozenset({"structure_a_id", "structure_b_id", "purpose"}),
    "joint": frozenset({
        "boundary_id", "severity", "consequence", "water_content", "is_buried",
        "in_vault", "near_traffic", "over_water",
    }),
    "device": frozenset({"kind", "layout", "stud_count"}),
    "path": frozenset({"boundary_id", "kind", "state"}),
    "position": frozenset({"latitude_deg", "longitude_deg"}),
    "source": frozenset({"structure_id", "can_be_interrupted", "also_feeds"}),
    "test": frozenset(
        c.name for c in form_of(IsolationTest).columns if c.name not in _BESIDE
    ),
}  # fmt: skip


def is_judged_anew(old: Record, new: Record) -> bool:
    """Whether a correction changes what verdicts and dates are judged by.

    A path looked at again has a later day; that is a new fact and no correction. So is
    a place that was in doubt and stands now, and a place a few metres further.
    """
    if isinstance(old, ParallelPath) and isinstance(new, ParallelPath):
        seen_again = new.checked_on is not None and new.checked_on != old.checked_on
        if seen_again and old.kind is new.kind:
            return False
    if isinstance(old, Position) and isinstance(new, Position):
        return _is_moved(old, new)
    names = JUDGED_BY[new.KIND]
    return any(getattr(old, name) != getattr(new, name) for name in names)


def _is_moved(old: Position, new: Position) -> bool:
    before, after = _place(old), _place(new)
    if before is None:
        return False
    return after is None or any(
        abs(a - b) > _SAME_PLACE_DEG for a, b in zip(before, after, strict=True)
    )


def _place(position: Position) -> tuple[float, float] | None:
    latitude, longitude = position.latitude_deg, position.longitude_deg
    if latitude is None or longitude is None:
        return None
    return latitude, longitude
