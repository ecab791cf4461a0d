"""Made-up tests of a made-up site: some shorts, some visits without a reading."""

import datetime as dt
from typing import Any

import numpy as np
from numpy.random import Generator  # noqa: TID251 (the chance comes in)

SYNTHETIC_DAY = dt.date(2026, 5, 15)


def pick(mask: Any, yes: Any, no: Any) -> Any:
    """Return ``yes`` or ``no`` per row; all rows share the two objects."""
    return np.array([no, yes], dtype=object)[mask.astype(np.intp)]


def made_up_tests(
    boundary_of: Any, method_of: Any, per_joint: int, chance: Generator
) -> dict[str, Any]:
    """Return each joint's tests, evenly back from the day; 2 in 100 show a short."""
    count = len(boundary_of) * per_joint
    joint = np.repeat(np.arange(len(boundary_of)), per_joint)
    method = method_of[joint]
    visited = chance.random(count) >= 0.01
    shorted = chance.random(count) < 0.02
    shift = method == "potential-shift"
    boundary_id = np.where(shift, boundary_of[joint] + 1, 0).astype(object)
    boundary_id[~shift] = None
    return {
        "scope": pick(shift, "boundary", "joint"),
        "joint_id": joint + 1,
        "boundary_id": boundary_id,
        "tested_on": _days(len(boundary_of), per_joint, chance),
        "method": method,
        "stage": pick(visited, "routine", "routine"),
        "outcome": pick(visited, "measured", "no access"),
        **_shown(method, visited, shorted, chance),
        **_volts(shift & visited, shorted, chance),
        "instrument_id": pick(visited, 1, None),
        "person_id": np.full(count, 1),
    }


def _days(joints: int, per_joint: int, chance: Generator) -> Any:
    step = max(1, min(365, 3650 // max(1, per_joint)))
    back = np.tile(np.arange(per_joint), joints) * step
    jitter = chance.integers(1, step + 1, joints * per_joint)
    return np.datetime64(SYNTHETIC_DAY, "D") - back - jitter


def _shown(
    method: Any, visited: Any, shorted: Any, chance: Generator
) -> dict[str, Any]:
    arm = (method == "ohmmeter") & visited
    ohms = np.exp(chance.normal(10.8, 0.4, len(method)))
    said = pick(shorted, "short", "no short")
    said[~(visited & (method == "radio-frequency"))] = None
    return {
        "reading_ohm": np.where(arm, np.round(np.where(shorted, 0.4, ohms), 1), np.nan),
        "hangs_free": arm,
        "indication": said,
    }


def _volts(shift: Any, shorted: Any, chance: Generator) -> dict[str, Any]:
    count = len(shift)
    near = chance.uniform(0.09, 0.15, count)
    a_on = chance.normal(-1.02, 0.02, count)
    b_on = np.where(shorted, a_on, chance.normal(-0.55, 0.03, count))
    b_off = b_on + np.where(shorted, 0.97 * near, 0.0)
    volts = {"a_on": a_on, "a_off": a_on + near, "b_on": b_on, "b_off": b_off}
    return {
        **{
            f"{k}_volt": np.where(shift, np.round(v, 3), np.nan)
            for k, v in volts.items()
        },
        "interrupted_side": pick(shift, "A", None),
        "sources_cycling": pick(shift, "portable source on SEC-000001", ""),
        "cycles": pick(shift, 10, None),
    }
