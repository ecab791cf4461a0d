"""The page of what is installed with the program, from the bill of materials."""

import ast
import json
from collections import defaultdict
from collections.abc import Iterable
from pathlib import Path

import bill_of_materials
import dependencies

# Asked for, though no line of the program imports them by name.
BY_NAME_ALONE = {
    "psycopg": "driver of SQLAlchemy for PostgreSQL, where an address asks for it",
    "pyogrio": "writer of geodata that geopandas is told to use",
    "tzdata": "time zones, where the machine has none",
}
# Imported because another package imports them; no line of ours calls them.
CARRIED = {
    "certifi": "read by pyproj and by requests when they are imported",
    "charset-normalizer": "read by requests, and by NumPy where it is there",
    "idna": "read by requests",
    "python-dateutil": "read by pandas",
    "pytz": "read by pandas",
    "requests": "read by folium when it is imported, to fetch what it is given as "
    "an address; it is given none",
    "urllib3": "read by requests",
    "xyzservices": "read by folium when it is imported: addresses of map tiles, "
    "of which the map has none",
}
ENCLOSED = {
    "leaflet": "lies in the wheel, in `site_map`",
    "open-sans": "lies in the wheel, in `reports`",
}
OPENING = """\
What `pip install jointmap` brings, with the extra for PostgreSQL, on Python 3.11 and
Linux, in the versions of `.ci/lock.txt`. *Why*: which part of the program imports it,
or else what becomes of it. The same list stands in the wheel as a bill of materials
(CycloneDX 1.6, `sboms/` beside its metadata). No command opens a connection but the
one to a database that it is told to use: a test runs `demo` under a watch that stops
whatever asks for the network.
"""


def rows() -> list[tuple[str, ...]]:
    """Return package, version, licence, who asks for it, why."""
    bill = json.loads(bill_of_materials.FILE.read_text(encoding="utf-8"))
    asking, ours = _asking(bill["dependencies"]), importers()
    return [
        (
            c["name"],
            c["version"],
            next(iter(c["licenses"][0]["license"].values())),
            ", ".join(asking[c["bom-ref"]]),
            _why(c["name"], ours),
        )
        for c in bill["components"]
    ]


def _asking(edges: Iterable[dict[str, list[str]]]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = defaultdict(list)
    for edge in edges:
        for other in edge["dependsOn"]:
            found[other].append(str(edge["ref"]).split("/")[-1].split("@")[0])
    return found


def _why(name: str, ours: dict[str, set[str]]) -> str:
    told = BY_NAME_ALONE.get(name) or CARRIED.get(name) or ENCLOSED.get(name)
    named = ", ".join(f"`{p}`" for p in sorted(ours.get(name, ())))
    return told or named or "part of what asks for it"


def importers() -> dict[str, set[str]]:
    """Return the packages of the program that import each outside module."""
    found: dict[str, set[str]] = defaultdict(set)
    for path in (dependencies.ROOT / "jointmap").rglob("*.py"):
        package = path.relative_to(dependencies.ROOT / "jointmap").parts[0]
        for module in _imported(path):
            found[module.partition(".")[0]].add(package.removesuffix(".py"))
    return found


def _imported(path: Path) -> Iterable[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module
