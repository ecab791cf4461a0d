"""What verdicts, dates and findings are judged by, of each kind, beside the rules.

Every column counts but those named here with what they are for. Rules, limits, models,
the site's own values and the roles of people are told of by themselves, and what was
decided, held or attached is not corrected.
"""

import datetime as dt
from collections.abc import Mapping

from jointmap.register.codes import JointState
from jointmap.register.fields import ABOUT_THE_ROW, Record, form_of
from jointmap.register.fitting import (
    Device,
    Installation,
    Occurrence,
    ParallelPath,
)
from jointmap.register.place import (
    Boundary,
    CurrentSource,
    Joint,
    Lead,
    Position,
    Structure,
    TestPoint,
)
from jointmap.register.rights.needed import Changed, decision_needed
from jointmap.register.testing import (
    Certificate,
    Instrument,
    IsolationTest,
    Qualification,
)

# A better survey of the same place: about 11 m.
_SAME_PLACE_DEG = 1e-4

# Names and notes, and what only a page or the plan of a month shows.
_BESIDE: dict[type[Record], set[str]] = {
    Structure: {"owner", "area_square_metre", "remark"},
    Boundary: {"name", "joined_by", "joined_from_on", "joined_until_on", "remark"},
    # A tag is renamed, a state changed by a decision.
    Joint: {
        "tag", "state", "line_id", "post_kilometre", "post_measuring", "which_one",
        "electrode_place", "fluid", "conductivity_siemens_per_metre",
        "pressure_pascal", "two_persons", "permit_from", "permit_until",
        "season_from", "season_until", "access_note", "remark",
    },
    Device: {"serial", "remark"},
    Installation: {"remark"},
    ParallelPath: {"name", "owner", "remark"},
    Occurrence: {"place", "remark"},
    Position: {"subject", "subject_id", "captured_x", "captured_y", "captured_crs",
               "method", "accuracy_metre", "captured_on"},
    CurrentSource: {"kind", "remark"},
    TestPoint: {"name", "place", "remark"},
    Lead: {"colour", "structure_id", "size"},
    Instrument: {"area_rating", "test_voltage_volt", "range_ohm", "remark"},
    Certificate: {"number", "as_found", "remark"},
    Qualification: {"remark"},
    IsolationTest: {"ground", "weather", "line_id", "remark"},
}  # fmt: skip

JUDGED_BY: Mapping[str, frozenset[str]] = {
    kind.KIND: frozenset(
        c.name for c in form_of(kind).columns if c.name not in beside | {*ABOUT_THE_ROW}
    )
    for kind, beside in _BESIDE.items()
}

_SINCE_DUTY = (JointState.IN_DUTY, JointState.OUT_OF_DUTY, JointState.REMOVED)
_DUTY = {"in_duty_on", "out_of_duty_on"}


def is_judged_anew(old: Record, new: Record) -> bool:
    """Whether a correction changes what verdicts and dates are judged by.

    What was found again on a later day is a new fact and no correction. So is a place
    that was in doubt and stands now, and a place a few metres further.
    """
    if isinstance(old, Position) and isinstance(new, Position):
        return _is_moved(old, new)
    return bool(judged_anew(old, new))


def judged_anew(old: Record, new: Record) -> tuple[str, ...]:
    """Return the columns by which is judged that a correction changes, in order."""
    names = JUDGED_BY[new.KIND] - _new_facts(old, new)
    return tuple(
        c.name
        for c in form_of(type(new)).columns
        if c.name in names and getattr(old, c.name) != getattr(new, c.name)
    )


# The day on which the state of a thing was found.
_LOOKED_AT: dict[type[Record], str] = {ParallelPath: "checked_on", Lead: "proved_on"}


def _new_facts(old: Record, new: Record) -> set[str]:
    """Return the columns in which a later day, or a decision, tells something new."""
    day = _LOOKED_AT.get(type(old))
    if day is not None:
        again = _is_later(getattr(old, day), getattr(new, day))
        return {"state", day} if again else set()
    if isinstance(old, Joint) and isinstance(new, Joint):
        begins = old.state not in _SINCE_DUTY
        decided = decision_needed(Changed(0, old, new)) is not None
        return _DUTY if begins or decided else set()
    return set()


def _is_later(before: dt.date | None, after: dt.date | None) -> bool:
    return after is not None and (before is None or after > before)


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
