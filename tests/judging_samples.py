"""Columns for the tests of verdicts and boundaries, written short."""

import datetime as dt
from dataclasses import fields

import numpy as np

from jointmap.acceptance import limit_columns, limit_in_force
from jointmap.register.codes import (
    JointState,
    Layout,
    Outcome,
    PathKind,
    PathState,
    Purpose,
    Scope,
    Side,
    Stage,
)
from jointmap.register.columns import (
    BoundaryColumns,
    Codes,
    Days,
    Flags,
    Floats,
    Ids,
    JointColumns,
    PathColumns,
    ReadingColumns,
)
from jointmap.register.judged import Judgements
from jointmap.register.paper_states import Counting, PaperState, paper_code
from jointmap.tables import LIMITS, METHOD_CODES

VALID = int(paper_code(PaperState.VALID.code, Counting.BY_ITSELF.code))
ON = np.datetime64("2026-05-15", "D")
SINCE = dt.date(2016, 1, 1)
BLANK = {
    Ids: (0, np.int64),
    Codes: (-1, np.int16),
    Days: ("NaT", "datetime64[D]"),
    Floats: (np.nan, np.float64),
    Flags: (False, np.bool_),
}


def table(kind, count, values, of=lambda value: value):
    """Return ``count`` rows of a column set; what is not given is blank."""
    made = {}
    for field in fields(kind):
        blank, dtype = BLANK[field.type]
        given = values.pop(field.name, blank)
        listed = given if isinstance(given, list | np.ndarray) else [given] * count
        made[field.name] = np.array([of(v) for v in listed], dtype)
    assert not values, f"no such column: {values}"
    return kind(**made)


def code(value):
    return value.code if hasattr(value, "value") else value


def readings(count=1, **values):
    """Routine tests by a method's code, at a joint of a protection boundary."""
    values["method"] = [
        METHOD_CODES.get(m, -1) if isinstance(m, str) else m
        for m in np.broadcast_to(values.get("method", "look"), count).tolist()
    ]
    usual = {
        "test_id": list(range(1, count + 1)),
        "scope": Scope.JOINT,
        "tested_on": "2026-01-10",
        "stage": Stage.ROUTINE,
        "outcome": Outcome.MEASURED,
        "reading_bound": 0,
        "purpose": Purpose.PROTECTION,
        "layout": Layout.TWO_SIDE,
        "person_paper": VALID,
        "instrument_paper": VALID,
    }
    return table(ReadingColumns, count, {**usual, **values}, code)


def joints_of(count=1, **values):
    """Joints 1 to ``count`` of boundary 1, 1 km apart on a line."""
    usual = {
        "joint_id": list(range(1, count + 1)),
        "boundary_id": 1,
        "device_id": list(range(1, count + 1)),
        "purpose": Purpose.PROTECTION,
        "state": JointState.IN_DUTY,
        "layout": Layout.TWO_SIDE,
        "stud_count": 12,
        "fitted_on": "2016-05-01",
        "x_metre": [1000.0 * k for k in range(count)],
        "y_metre": 0.0,
    }
    return table(JointColumns, count, {**usual, **values}, code)


def boundaries_of(count=1, **values):
    """Boundaries 1 to ``count`` between structures k and k + 1."""
    usual = {
        "boundary_id": list(range(1, count + 1)),
        "structure_a_id": list(range(1, count + 1)),
        "structure_b_id": list(range(2, count + 2)),
        "purpose": Purpose.PROTECTION,
        "is_protected": True,
    }
    return table(BoundaryColumns, count, {**usual, **values}, code)


def paths_of(count=0, **values):
    """Supports of boundary 1 that were found apart at the start."""
    usual = {
        "path_id": list(range(1, count + 1)),
        "boundary_id": 1,
        "kind": PathKind.SUPPORT,
        "state": PathState.APART,
        "fitted_on": "2016-05-01",
    }
    return table(PathColumns, count, {**usual, **values}, code)


def judged(verdicts, tells_device=False):
    """Judgements with the given verdicts, for tests that are not about verdicts."""
    usual = {
        "verdict": verdicts,
        "reason": 0,
        "counts": True,
        "tells_device": tells_device,
    }
    return table(Judgements, len(verdicts), usual, code)


def limits_of(*names):
    """The named limits of the catalogue in force, numbered by their place in it."""
    number = {name: place for place, name in enumerate(LIMITS, start=1)}
    return limit_columns([(number[n], limit_in_force(n, SINCE)) for n in names])


DEFAULT = (
    "Resistance before tie-in 1 Mohm",
    "Resistance before tie-in: metal contact",
    "Difference 100 mV above grade",
    "Difference 2 mV fixed electrode",
    "Shift guard 50 mV",
    "Shift ratio isolating 0.10",
    "Shift ratio shorted 0.50",
    "Joint resistance: metal contact 1 milliohm",
    "Joint resistance isolating 1 ohm",
    "Leakage isolating 2.5 percent",
    "Leakage shorted 50 percent",
    "Stud side 1 Mohm",
    "Stud side: metal contact",
    "Core side 1 Mohm",
    "Core side: metal contact",
    "Ship/shore 1000 ohm hanging free",
    "Hanging free: metal contact",
    "AC stop 15 V",
)
SIDE_A, SIDE_B = Side.A.code, Side.B.code
