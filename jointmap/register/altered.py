"""Facts that hold from a day until a day: what one of them was until it was altered."""

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any, ClassVar, TypeVar

from jointmap.errors import Problem
from jointmap.register.codes import Subject
from jointmap.register.fields import Column, Record, form_of, refers
from jointmap.register.place import Boundary, CurrentSource, Joint

R = TypeVar("R", bound=Record)
# The columns of each kind that may be one thing until a day and another from it on. All
# others are the same for life, are dated by columns of their own, or judge nothing.
ALTERABLE: dict[str, tuple[str, ...]] = {
    "joint": (
        "boundary_id", "state", "out_of_duty_on", "severity", "consequence", "fluid",
        "water_content", "conductivity_siemens_per_metre", "temperature_degc",
        "pressure_pascal", "hazardous_area", "arc_prevention", "near_power_line",
        "is_buried", "in_vault", "near_traffic", "over_water",
    ),
    "boundary": ("purpose",),
    "source": (
        "structure_id", "can_be_interrupted", "usual_current_ampere", "also_feeds",
    ),
}  # fmt: skip
# The sender's own texts of quantities go with the values that they are of.
TEXTS = "as_written"
# Which column of an alteration holds the id of what a fact referred to.
WAS_ID: dict[str, str] = {
    "boundary": "was_boundary_id",
    "structure": "was_structure_id",
}
# How truth is written, as in sheets.
WAS_YES, WAS_NO = "yes", "no"

ALTERED_KINDS: dict[str, tuple[Subject, type[Record]]] = {
    "joint": (Subject.JOINT, Joint),
    "boundary": (Subject.BOUNDARY, Boundary),
    "source": (Subject.SOURCE, CurrentSource),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Altered(Record):
    """What one column of a record held before ``until_on``, the first day of another.

    A number stands as text in SI units, truth as yes or no, nothing as nothing; what
    referred to a boundary or a structure by its id.
    """

    KIND: ClassVar[str] = "altered"
    KEY: ClassVar[tuple[str, ...]] = ("subject", "subject_id", "column", "until_on")
    subject: Subject
    subject_id: int
    column: str
    until_on: dt.date
    was: str | None = None
    was_boundary_id: int | None = refers("boundary", optional=True)
    was_structure_id: int | None = refers("structure", optional=True)

    def faults(self) -> Iterator[Problem]:
        """Refuse a column whose facts have no days."""
        kinds = {str(s): kind for kind, (s, _) in ALTERED_KINDS.items()}
        kind = kinds.get(str(self.subject), "")
        if not is_alterable(kind, self.column):
            facts = {"accepted": ", ".join(ALTERABLE.get(kind, ()))}
            yield Problem("altered.column", facts, column="column", value=self.column)


def is_alterable(kind: str, column: str) -> bool:
    """Whether a column of a kind may be one thing until a day and another from it."""
    return kind in ALTERABLE and column in (*ALTERABLE[kind], TEXTS)


def alterations(
    id_: int, old: Record, new: Record, until_on: dt.date
) -> Iterator[Altered]:
    """Yield what each alterable column held that has another value now."""
    subject, kind = ALTERED_KINDS[old.KIND]
    for column in form_of(kind).columns:
        before = getattr(old, column.name)
        is_other = before != getattr(new, column.name)
        if is_other and is_alterable(old.KIND, column.name):
            yield Altered(
                subject=subject,
                subject_id=id_,
                column=column.name,
                until_on=until_on,
                **_held(column, before),
            )


def as_it_was(record: R, rows: Iterable[Altered], on: dt.date) -> R:
    """Return a record as it was on a day, by its own alterations."""
    later = sorted((r for r in rows if r.until_on > on), key=lambda r: r.until_on)
    columns = {c.name: c for c in form_of(type(record)).columns}
    # Of several alterations of a column the first after the day tells.
    then: dict[str, Any] = {
        r.column: held_by(columns[r.column], r) for r in reversed(later)
    }
    return replace(record, **then) if then else record


def held_by(column: Column, row: Altered) -> object:
    """Return what a column held by an alteration of it."""
    if column.refers:
        held: object = getattr(row, WAS_ID[column.refers])
        return held
    return value_was(column, row.was)


def _held(column: Column, value: object) -> dict[str, Any]:
    if column.refers:
        return {WAS_ID[column.refers]: value}
    if isinstance(value, bool):
        return {"was": WAS_YES if value else WAS_NO}
    return {"was": None if value is None else str(value)}


def value_was(column: Column, was: str | None) -> object:
    """Return the value of a text of ``Altered.was``.

    >>> value_was(form_of(Joint).columns[0], "IJ-018")
    'IJ-018'
    """
    if was is None:
        return None
    if column.type is bool:
        return was == WAS_YES
    if column.type is dt.date:
        return dt.date.fromisoformat(was)
    words: Any = column.words or column.type
    return words(was)
