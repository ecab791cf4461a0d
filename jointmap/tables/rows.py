"""Reading a published table: one CSV file, one frozen record a row."""

import csv
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from types import NoneType
from typing import Any, TypeVar, get_args, get_type_hints

from jointmap.errors import Problem, Refused
from jointmap.tables.sources import SOURCES


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """What every published row carries; ``source`` is an id of ``SOURCES``."""

    source: str
    clause: str
    edition: str
    mark: str

    @property
    def citation(self) -> str:
        """The source in words, with its mark."""
        parts = (SOURCES[self.source].title, self.clause, self.edition)
        return f"{', '.join(p for p in parts if p)} ({self.mark})"


T = TypeVar("T", bound=Published)


def read_rows(file: str, text: str, kind: type[T]) -> tuple[T, ...]:
    """Read CSV ``text``, whose heading names the fields of ``kind`` in their order.

    Raises
    ------
    Refused
        All faults at once: a wrong heading, a row too long or too short, no source or
        mark, a source that is not in its table, a number that is none.
    """
    reader = csv.DictReader(text.splitlines())
    hints = _hints(kind)
    if reader.fieldnames != list(hints):
        wanted = {"name": file, "wanted": list(hints)}
        raise Refused(Problem("table.keys", wanted, file, 1))
    rows = list(reader)
    faults = [p for n, row in enumerate(rows, 2) for p in _faults(row, hints, file, n)]
    if faults:
        raise Refused(faults)
    return tuple(kind(**{k: _value(row[k], hints[k]) for k in hints}) for row in rows)


def _hints(kind: type[Published]) -> dict[str, Any]:
    # A row's own fields first, as a person reads them; where it comes from last.
    found, about = get_type_hints(kind), [f.name for f in fields(Published)]
    own = [f.name for f in fields(kind) if f.name not in about]
    return {name: found[name] for name in (*own, *about)}


def _faults(
    row: Mapping[str, str], hints: Mapping[str, Any], file: str, line: int
) -> Iterator[Problem]:
    facts = {"name": next(iter(row.values()))}
    if None in row.values() or None in row:
        yield Problem("table.cells", facts, file, line)
        return
    if not row["source"] or not row["mark"]:
        yield Problem("table.no_source", facts, file, line)
    elif row["source"] not in SOURCES:
        facts = {**facts, "source": row["source"]}
        yield Problem("table.unknown_source", facts, file, line)
    for name, hint in hints.items():
        try:
            _value(row[name], hint)
        except ValueError:
            yield Problem("table.number", facts, file, line, name, row[name])


def _value(text: str, hint: Any) -> Any:  # noqa: ANN401
    kinds = get_args(hint)
    if not text and NoneType in kinds:
        return None
    return (kinds or (hint,))[0](text)
