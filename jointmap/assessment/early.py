"""Which kits, batches, crews, years or services fail early at this site."""

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import numpy as np

from jointmap.assessment.assess import Assessment
from jointmap.hazard.early_classes import (
    LEAST_DEVICES,
    EarlyClasses,
    Watched,
    early_classes,
    early_years,
)
from jointmap.hazard.trend import years_of
from jointmap.register import Device
from jointmap.register.codes import (
    DeviceKind,
    Scope,
    Severity,
    Verdict,
)
from jointmap.register.columns import Codes
from jointmap.register.told import Told

EARLY_YEARS = 3.0
# Below this, corrected for all looks, a class is worth a person's look (judgement).
WORTH_A_LOOK = 0.1
_NOT_GOOD = [v.code for v in (Verdict.DOUBTFUL, Verdict.SHORTED)]
Look = tuple[Sequence[str], Codes]


def early_at(found: Assessment) -> tuple[EarlyClasses, dict[str, Look]]:
    """Return the scan of flange kits' first three years, and what was looked at."""
    devices = {
        id_: d
        for id_, d in found.state.devices.items()
        if d.kind is DeviceKind.FLANGE_KIT
    }
    watched = _watched(found, devices)
    looks = _looks(found, devices)
    return early_classes(watched, looks), looks


def _watched(found: Assessment, devices: Mapping[int, Device]) -> Watched:
    """Return each kit's early years; a reading under its limit is a failure."""
    ids = np.array(list(devices), np.int64)
    fitted = _days([d.fitted_on for d in devices.values()])
    removed = _days([d.removed_on or found.on for d in devices.values()])
    failed = _first_failures(found, ids)
    ends = np.minimum(removed, np.datetime64(found.on, "D"))
    never = np.isnat(failed)
    when = np.where(never, np.inf, years_of(np.where(never, fitted, failed)))
    return early_years(years_of(fitted), when, years_of(ends), EARLY_YEARS)


def _days(days: Sequence[Any]) -> np.ndarray:
    return np.array(days, "datetime64[D]")


def _first_failures(found: Assessment, ids: np.ndarray) -> np.ndarray:
    """Return the day of each device's first reading under its limit, whole or stud."""
    tests, said = found.tests, found.judgements
    bad = np.isin(said.verdict, _NOT_GOOD) & said.counts
    bad &= np.isin(tests.scope, [s.code for s in (Scope.JOINT, Scope.STUD)])
    bad &= said.tells_device | (tests.scope == Scope.STUD)
    first: dict[int, dt.date] = {}
    for device, day in zip(
        tests.device_id[bad].tolist(), tests.tested_on[bad].tolist(), strict=True
    ):
        first[device] = min(day, first.get(device, day))
    return np.array([first.get(i, "NaT") for i in ids.tolist()], "datetime64[D]")


def _looks(found: Assessment, devices: Mapping[int, Device]) -> dict[str, Look]:
    fitting = found.state.fitting_of
    joints = found.ground.joints
    row = {id_: n for n, id_ in enumerate(joints.joint_id.tolist())}

    def severity(_: int, device: Device) -> str:
        code = int(joints.severity[row[device.joint_id]])
        return str(Severity.at(code)) if code >= 0 else ""

    asked: dict[str, Callable[[int, Device], str]] = {
        "gasket_material": lambda _, d: d.gasket_material,
        "sleeve_material": lambda _, d: d.sleeve_material,
        "batch": lambda _, d: d.batch,
        "contractor": lambda i, _: fitting[i].contractor if i in fitting else "",
        "year": lambda _, d: str(d.fitted_on.year),
        "service": severity,
    }
    return {
        name: _look([word(i, d) for i, d in devices.items()])
        for name, word in asked.items()
    }


def _look(words: Sequence[str]) -> Look:
    names = sorted({w for w in words if w})
    places = {w: n for n, w in enumerate(names)}
    return names, np.array([places.get(w, -1) for w in words], np.int16)


def early_told(found: Assessment, most: int = 5) -> list[Told]:
    """Return what is told of each of the least likely classes."""
    scan, looks = early_at(found)
    names = list(looks)
    lines = []
    for n in range(min(most, len(scan))):
        look = names[int(scan.look[n])]
        strong = scan.corrected_p[n] < WORTH_A_LOOK
        facts = {
            "look": Told(f"early.look.{look}"),
            "name": looks[look][0][int(scan.code[n])],
            "failures": int(scan.failures[n]),
            "devices": int(scan.devices[n]),
            "years": EARLY_YEARS,
            "expected": float(scan.expected[n]),
            "raw_p": float(scan.raw_p[n]),
            "share_p": float(scan.share_p[n]),
            "corrected_p": float(scan.corrected_p[n]),
            "looks": len(scan),
            "weight": Told("early.strong" if strong else "early.weak"),
        }
        lines.append(Told("early.found", facts))
    return lines


def too_few_told(found: Assessment) -> Told:
    """Return why no class can be told of, with how many kits are on record."""
    devices = found.state.devices.values()
    count = sum(d.kind is DeviceKind.FLANGE_KIT for d in devices)
    return Told("early.too_few", {"count": count, "least": LEAST_DEVICES})
