"""Where published values come from, and how much of each source was read."""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from importlib import resources
from typing import Any

from jointmap.errors import Problem, Refused

FILE = "sources.toml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One text: its title, its edition, what was read of it, how well it is known."""

    id: str
    title: str
    edition: str
    seen: str
    mark: str


def load(text: str) -> dict[str, Source]:
    """Read the TOML ``text``; the sources by id.

    Raises
    ------
    Refused
        All faults at once: a key that is missing or unknown, an empty title or mark.
    """
    rows = tomllib.loads(text)
    faults = [p for key, row in rows.items() for p in _faults(key, row)]
    if faults:
        raise Refused(faults)
    return {key: Source(id=key, **row) for key, row in rows.items()}


def _faults(key: str, row: Mapping[str, Any]) -> Iterator[Problem]:
    wanted = {f.name for f in fields(Source)} - {"id"}
    if set(row) != wanted:
        yield Problem("table.keys", {"name": key, "wanted": sorted(wanted)}, FILE)
    elif not (row["title"] and row["mark"]):
        yield Problem("table.no_source", {"name": key}, FILE)


def packaged(name: str) -> str:
    """Return the text of a file of this package."""
    return (resources.files("jointmap.tables") / name).read_text(encoding="utf-8")


SOURCES: dict[str, Source] = load(packaged(FILE))
