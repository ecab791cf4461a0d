"""A made-up site of any size, of the sample's kinds and proportions.

``synthetic_site`` gives columns named as the records' fields, one set per record kind:
ids count from 1, words are text, days are ``datetime64[D]``, numbers are SI. ``rows``
turns a kind into tuples in the order of its form; ``write_sheets`` into files to load.
The same arguments give the same site.
"""

import json
from collections.abc import Iterator, Mapping
from dataclasses import MISSING, dataclass, fields
from itertools import repeat
from typing import Any

import numpy as np
from numpy.random import Generator, default_rng  # noqa: TID251 (a seed comes in)

from jointmap.register import FORMS, Record
from tests.synthetic_kinds import BLOCK
from tests.synthetic_readings import SYNTHETIC_DAY, made_up_tests, pick

FIRST_FITTED = np.datetime64("2015-01-05", "D")
Columns = dict[str, Any]


@dataclass(frozen=True, slots=True)
class SyntheticSite:
    """Columns per record kind, and how many rows each kind has."""

    columns: Mapping[str, Columns]
    counts: Mapping[str, int]

    def rows(self, kind: str) -> Iterator[tuple[Any, ...]]:
        """Yield the values of each row in the order of the form's columns."""
        form, own = FORMS[kind], self.columns[kind]
        usual = {f.name: f.default for f in fields(form.record)}
        lists = []
        for column in form.columns:
            if column.name in own:
                lists.append(_plain(own[column.name]))
            else:
                default = usual[column.name]
                assert default is not MISSING, (kind, column.name)
                lists.append(repeat(default, self.counts[kind]))
        return zip(*lists, strict=True)


def _plain(values: Any) -> list[Any]:
    found = values.tolist() if isinstance(values, np.ndarray) else list(values)
    if isinstance(values, np.ndarray) and values.dtype.kind == "f":
        return [None if v != v else v for v in found]  # noqa: PLR0124 (NaN)
    return found


def synthetic_site(joints: int, tests_per_joint: int, seed: int) -> SyntheticSite:
    """Return a site of ``joints`` places, each tested ``tests_per_joint`` times."""
    chance = default_rng(seed)
    boundary_of, kind_of = _blocks(joints)
    columns = {
        **_company(),
        **_structures(kind_of),
        "joint": _joints(boundary_of, kind_of),
        "position": _positions(boundary_of, kind_of, chance),
        **_devices(boundary_of, kind_of, chance),
        "path": _paths(boundary_of, chance),
        "test": made_up_tests(
            boundary_of, _words(kind_of[boundary_of], "method"), tests_per_joint, chance
        ),
    }
    columns["site"] |= _extent(columns["position"])
    counts = {kind: len(next(iter(c.values()))) for kind, c in columns.items()}
    return SyntheticSite(columns, counts)


def _blocks(joints: int) -> tuple[Any, Any]:
    """Return each joint's boundary (from 0), and each boundary's kind in BLOCK."""
    sizes = np.array([k.joints for k in BLOCK])
    blocks = -(-joints // int(sizes.sum()))
    boundary_of = np.repeat(np.arange(blocks * len(BLOCK)), np.tile(sizes, blocks))
    boundary_of = boundary_of[:joints]
    return boundary_of, np.arange(boundary_of[-1] + 1) % len(BLOCK)


def _words(kind_of: Any, name: str) -> Any:
    return np.array([getattr(k, name) for k in BLOCK], dtype=object)[kind_of]


def _numbered(prefix: str, count: int) -> list[str]:
    return [f"{prefix}{n:06d}" for n in range(1, count + 1)]


def _company() -> dict[str, Columns]:
    days = np.array(["2015-01-01", "2030-01-01"], "datetime64[D]")
    valid = {"valid_from_on": days[:1], "valid_until_on": days[1:]}
    return {
        "site": {
            "code": ["SYN"], "name": ["Made-up site"], "time_zone": ["Atlantic/Azores"],
            "working_crs": ["EPSG:32624"],
        },
        "person": {"code": ["T1"], "role": ["register keeper"]},
        "instrument": {"name": ["M-01"], "kind": ["tester"]},
        "certificate": {"instrument_id": [1], "number": ["1"], **valid},
        "qualification": {"person_id": [1], "task": ["isolation test"], **valid},
        "line": {"name": ["Line"], "coordinates": ["[[-41.55,31.4],[-42.2,31.4]]"]},
        "crew": {
            "name": ["East", "West"], "persons": [2, 1], "depot": ["East", "West"],
            "day_from": ["07:30"] * 2, "day_until": ["16:00"] * 2,
            "working_days": ["Mon;Tue;Wed;Thu;Fri"] * 2,
        },
    }  # fmt: skip


def _structures(kind_of: Any) -> dict[str, Columns]:
    """Return one protected section per block, and one other side per boundary."""
    count, block = len(kind_of), np.arange(len(kind_of)) // len(BLOCK)
    sections = int(block[-1]) + 1
    kinds = ["pipeline section"] * sections + _words(kind_of, "structure_kind").tolist()
    names = [*_numbered("SEC-", sections), *_numbered("OTHER-", count)]
    section_ids = np.arange(1, sections + 1)
    return {
        "structure": {
            "name": names, "kind": kinds,
            "is_protected": np.arange(len(names)) < sections,
        },
        "source": {
            "name": _numbered("R-", sections), "structure_id": section_ids,
            "kind": ["rectifier"] * sections, "can_be_interrupted": [True] * sections,
        },
        "boundary": {
            "name": _numbered("B-", count), "structure_a_id": block + 1,
            "structure_b_id": np.arange(count) + sections + 1,
            "purpose": _words(kind_of, "purpose"),
        },
    }  # fmt: skip


def _joints(boundary_of: Any, kind_of: Any) -> Columns:
    count, kind = len(boundary_of), kind_of[boundary_of]
    return {
        "tag": _numbered("SJ-", count),
        "boundary_id": boundary_of + 1,
        "area": _words(kind, "area"),
        "state": ["in duty"] * count,
        "in_duty_on": np.full(count, FIRST_FITTED + 30),
        "severity": _words(kind, "severity"),
        "consequence": _words(kind, "consequence"),
    }


def _positions(boundary_of: Any, kind_of: Any, chance: Generator) -> Columns:
    """Return places: stations along a line, meters house by house in a town."""
    count, bounds = len(boundary_of), len(kind_of)
    east, north = chance.uniform(0, 62_000, bounds), chance.normal(0, 200, bounds)
    in_town = _words(kind_of, "area") == "Meters"
    house = np.cumsum(in_town) - 1
    wide = int(np.sqrt(2 * max(1, in_town.sum()))) + 1
    east = np.where(in_town, 20_000 + 14.0 * (house % wide), east)
    north = np.where(in_town, -3_000 - 30.0 * (house // wide), north)
    x = east[boundary_of] + chance.uniform(-8, 8, count)
    y = north[boundary_of] + chance.uniform(-8, 8, count)
    latitude, longitude = (
        np.round(31.4 + y / 110_900, 7),
        np.round(-41.55 - x / 95_000, 7),
    )
    return {
        "subject": ["joint"] * count,
        "subject_id": np.arange(1, count + 1),
        "latitude_deg": latitude,
        "longitude_deg": longitude,
        "captured_x": [f"{v:.7f}" for v in longitude],
        "captured_y": [f"{v:.7f}" for v in latitude],
        "captured_crs": ["EPSG:4326"] * count,
        "method": ["satellite"] * count,
        "accuracy_metre": np.full(count, 0.3),
    }


def _extent(position: Columns) -> Columns:
    return {
        f"{word}_{name}": [float(np.round(edge(position[name]) + margin, 4))]
        for word, edge, margin in (("min", np.min, -0.01), ("max", np.max, 0.01))
        for name in ("latitude_deg", "longitude_deg")
    }


def _devices(boundary_of: Any, kind_of: Any, chance: Generator) -> dict[str, Columns]:
    kind, count = kind_of[boundary_of], len(boundary_of)
    studs = _words(kind, "studs")
    fitted = FIRST_FITTED + chance.integers(0, 25, count)
    kits = np.flatnonzero(studs.astype(int) > 0)
    right = chance.random(len(kits)) < 0.99
    batch = chance.integers(0, 40, count)
    return {
        "device": {
            "joint_id": np.arange(1, count + 1),
            "fitted_on": fitted,
            "kind": _words(kind, "device"),
            "layout": _words(kind, "layout"),
            "stud_count": [n or None for n in studs.tolist()],
            "lubricant_allowed": ["non-metallic paste" if n else "" for n in studs],
            "batch": [f"15-{n:02d}" for n in batch.tolist()],
        },
        "installation": {
            "device_id": kits + 1,
            "installed_on": fitted[kits],
            "lubricant": pick(right, "non-metallic paste", "copper paste"),
            "torque_target_newton_metre": np.full(len(kits), 271.0),
        },
    }


def _paths(boundary_of: Any, chance: Generator) -> Columns:
    joint = np.arange(0, len(boundary_of), 8)
    checked = np.datetime64(SYNTHETIC_DAY, "D") - chance.integers(10, 500, len(joint))
    return {
        "name": _numbered("SD-", len(joint)),
        "boundary_id": boundary_of[joint] + 1,
        "joint_id": joint + 1,
        "kind": ["surge protective device"] * len(joint),
        "state": ["apart"] * len(joint),
        "fitted_on": np.full(len(joint), FIRST_FITTED + 30),
        "checked_on": checked,
    }


def as_json(site: SyntheticSite) -> str:
    """Return the site's columns as text, to compare two of them."""
    shown = {k: {n: _plain(v) for n, v in c.items()} for k, c in site.columns.items()}
    return json.dumps(shown, default=str)


def rows_as_records(site: SyntheticSite, kind: str) -> Iterator[Record]:
    """Yield the rows of a kind as checked records; for small sites."""
    form = FORMS[kind]
    for row in site.rows(kind):
        values = {
            c.name: c.words(v) if c.words is not None and v is not None else v
            for c, v in zip(form.columns, row, strict=True)
        }
        yield form.record(**values)
