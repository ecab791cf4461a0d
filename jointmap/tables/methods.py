"""The test methods: what each can decide, where it cannot, what it needs."""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from typing import Any

from jointmap.errors import Problem, Refused
from jointmap.tables.sources import SOURCES, packaged

FILE = "test_methods.toml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Method:
    """One test method; an empty ``stages`` means at any stage.

    ``tells`` is what a reading is about: device, stud, boundary, path or source.
    ``scopes`` and ``stages`` are where it can decide; ``minutes`` is time at the joint
    without set-up; ``quantity`` is that of the number compared with a limit.
    """

    code: str
    label: str
    measures: str
    tells: str
    quantity: str
    scopes: tuple[str, ...]
    stages: tuple[str, ...]
    cannot: str
    needs: str
    minutes: int
    sources: tuple[str, ...]
    mark: str


def load(text: str) -> tuple[Method, ...]:
    """Read the TOML ``text``; the methods in its order.

    Raises
    ------
    Refused
        All faults at once: a key that is missing or unknown, no source, a source that
        is not in ``SOURCES``, a code that comes twice.
    """
    rows: list[dict[str, Any]] = tomllib.loads(text)["method"]
    faults = [p for row in rows for p in _faults(row)]
    codes = [row.get("code") for row in rows]
    faults += [
        Problem("table.twice", {"name": c}, FILE)
        for c in set(codes)
        if codes.count(c) > 1
    ]
    if faults:
        raise Refused(faults)
    return tuple(Method(**{k: _frozen(v) for k, v in row.items()}) for row in rows)


def _faults(row: Mapping[str, Any]) -> Iterator[Problem]:
    name = row.get("code")
    wanted = {f.name for f in fields(Method)}
    if set(row) != wanted:
        yield Problem("table.keys", {"name": name, "wanted": sorted(wanted)}, FILE)
        return
    if not row["sources"] or not row["mark"]:
        yield Problem("table.no_source", {"name": name}, FILE)
    for source in row["sources"]:
        if source not in SOURCES:
            facts = {"name": name, "source": source}
            yield Problem("table.unknown_source", facts, FILE)


def _frozen(value: Any) -> Any:  # noqa: ANN401
    return tuple(value) if isinstance(value, list) else value


METHODS: tuple[Method, ...] = load(packaged(FILE))
METHOD_CODES: dict[str, int] = {m.code: place for place, m in enumerate(METHODS)}
