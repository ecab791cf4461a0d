"""A made-up site written as the sheets a person would keep; for small sites."""

import csv
import datetime as dt
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from jointmap.exchange import SHEETS
from jointmap.register import FORMS, Column
from tests.synthetic import FIRST_FITTED, SyntheticSite
from tests.synthetic_kinds import ADOPTED

UNITS = {
    "resistance": ("ohm", 1.0),
    "voltage": ("mV", 1000.0),
    "length": ("m", 1.0),
    "torque": ("N·m", 1.0),
}
KEY_OF_KIND = {
    "person": "code", "instrument": "name", "structure": "name", "boundary": "name",
    "joint": "tag",
}  # fmt: skip
PLAIN_SHEETS = (
    "people", "qualifications", "instruments", "certificates", "structures",
    "sources", "boundaries", "joints", "devices", "installations", "paths", "crews",
    "tests",
)  # fmt: skip


def write_sheets(folder: Path, site: SyntheticSite) -> None:
    """Write ``site`` into ``folder`` as files that ``jointmap load`` accepts."""
    folder.mkdir(parents=True, exist_ok=True)
    for sheet in PLAIN_SHEETS:
        kind = SHEETS[sheet].kind
        cells = _cells(site, kind)
        if sheet == "joints":
            cells |= _place_cells(site)
        if sheet == "installations":
            cells = _of_device(site, cells)
        _write(folder / f"{sheet}.csv", cells)
    _write_adopted(folder / "adopted.csv")
    _write_site(folder / "this_site.toml", site)
    _write_line(folder / "lines.geojson", site)


def _cells(site: SyntheticSite, kind: str) -> dict[str, list[str]]:
    own = site.columns[kind]
    columns = [c for c in FORMS[kind].columns if c.name in own]
    values = zip(*site.rows(kind), strict=True)
    by_name = dict(zip((c.name for c in FORMS[kind].columns), values, strict=True))
    return {c.label: [_text(site, c, v) for v in by_name[c.name]] for c in columns}


def _text(site: SyntheticSite, column: Column, value: Any) -> str:
    if value is None:
        return ""
    if column.refers in KEY_OF_KIND:
        return str(site.columns[column.refers][KEY_OF_KIND[column.refers]][value - 1])
    if column.quantity:
        unit, factor = UNITS[column.quantity]
        return f"{value * factor:.10g} {unit}"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value.isoformat() if isinstance(value, dt.date) else str(value)


def _place_cells(site: SyntheticSite) -> dict[str, list[str]]:
    place = site.columns["position"]
    return {"latitude": place["captured_y"], "longitude": place["captured_x"]}


def _of_device(
    site: SyntheticSite, cells: dict[str, list[str]]
) -> dict[str, list[str]]:
    rows = [int(i) - 1 for i in cells.pop("device")]
    device, tags = site.columns["device"], site.columns["joint"]["tag"]
    return {
        "joint": [tags[device["joint_id"][r] - 1] for r in rows],
        "device_fitted_on": [str(device["fitted_on"][r]) for r in rows],
        **cells,
    }


def _write(path: Path, cells: Mapping[str, list[str]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(cells)
        writer.writerows(zip(*cells.values(), strict=True))


def _write_adopted(path: Path) -> None:
    catalogues, names = zip(*ADOPTED, strict=True)
    cells = {"catalogue": list(catalogues), "name": list(names)}
    _write(path, cells | _alike(len(names), from_on=str(FIRST_FITTED), decision="D-2"))
    made = {"number": ["D-1", "D-2"], "kind": ["run by one person", "adopted"]}
    about = {"subject": "site", "subject_key": "SYN", "why": "made up"}
    more = _alike(2, decided_on=str(FIRST_FITTED), person="T1", **about)
    _write(path.with_name("decisions.csv"), made | more)


def _alike(count: int, **texts: str) -> dict[str, list[str]]:
    return {name: [text] * count for name, text in texts.items()}


def _write_site(path: Path, site: SyntheticSite) -> None:
    facts = {name: values[0] for name, values in site.columns["site"].items()}
    lines = [f"{name} = {json.dumps(value)}\n" for name, value in facts.items()]
    path.write_text("".join(lines), encoding="utf-8")


def _write_line(path: Path, site: SyntheticSite) -> None:
    line = site.columns["line"]
    shape = {
        "type": "LineString",
        "coordinates": json.loads(line["coordinates"][0]),
    }
    feature = {
        "type": "Feature",
        "properties": {"name": line["name"][0]},
        "geometry": shape,
    }
    found = {"type": "FeatureCollection", "features": [feature]}
    path.write_text(json.dumps(found), encoding="utf-8")
