"""Records on file that would not be accepted today, named with their rows.

A reader that stops at one says which record of which file it is. Only looked for when
a reader has stopped: bounds are tried where values enter, so that a register filled
before a bound was set stays readable.
"""

import datetime as dt
import json
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from jointmap.errors import BrokenRegister, JointmapError, Problem, Refused
from jointmap.hazard.failure_model import from_json
from jointmap.location import shape_faults, tie_faults
from jointmap.register import (
    FORMS,
    Chainage,
    Column,
    Crew,
    Joint,
    Line,
    Model,
    Record,
    Road,
    Site,
)
from jointmap.register.bounds import Bound, DayBound, bound_fault, day_fault
from jointmap.snapshot.snapshot import Snapshot

MOST_NAMED = 12


@contextmanager
def told_of_records(state: Snapshot) -> Iterator[None]:
    """Turn a fault of a reader into the records on file that it may have met.

    Raises the fault itself where every record is one that would be accepted.
    """
    try:
        yield
    except (BrokenRegister, OSError):
        raise
    except Refused as refused:
        raise Refused([*refused.problems, *odd_records(state)]) from refused
    except JointmapError:
        raise
    except Exception as error:
        found = odd_records(state)
        if not found:
            raise
        raise Refused(found) from error


def odd_records(state: Snapshot) -> list[Problem]:
    """Return a problem for each record that would be refused or held today.

    A day is held against the one on which the state was recorded, whatever day is asked
    about: nothing recorded by then could speak of a later one.
    """
    found: list[Problem] = []
    on = _recorded_on(state)
    for form in FORMS.values():
        for record in state.of_kind(form.record).values():
            found += [at_origin(p, record) for p in _faults(state, record, on)]
            if len(found) >= MOST_NAMED:
                return found[:MOST_NAMED]
    return found


def _recorded_on(state: Snapshot) -> dt.date:
    at = state.last.recorded_at
    try:
        return at.astimezone(ZoneInfo(state.site.time_zone)).date()
    except (ValueError, OSError, ZoneInfoNotFoundError):
        return at.date()  # the zone is one of the odd values


def at_origin(problem: Problem, record: Record) -> Problem:
    """Return ``problem`` with the file and the line that a record came from."""
    file, _, line = record.origin.rpartition(":")
    if not (file and line.isdigit()):
        return replace(problem, file=record.origin)
    return replace(problem, file=file, line=int(line))


def _faults(state: Snapshot, record: Record, on: dt.date) -> Iterator[Problem]:
    # Looked for only when a reader has stopped, and so loaded only then.
    from jointmap.snapshot.ends_checked import reversed_ends

    for column in FORMS[record.KIND].columns:
        if column.bound is not None:
            yield from _beyond(column, getattr(record, column.name), on)
    yield from reversed_ends(record)
    try:
        yield from _inside(state, record)
    except Refused as refused:
        yield from refused.problems
    except (ValueError, KeyError, TypeError, IndexError) as error:
        yield Problem("record.unreadable", {"error": str(error)})


def _inside(state: Snapshot, record: Record) -> Iterator[Problem]:
    """Yield what is wrong with words and lists that a record holds as text."""
    from jointmap.snapshot.words_checked import (
        words_of_crew,
        words_of_joint,
        words_of_site,
    )

    if isinstance(record, Line | Road):
        yield from shape_faults(json.loads(record.coordinates))
    elif isinstance(record, Chainage):
        line = state.lines[record.line_id]
        points = json.loads(line.coordinates), json.loads(record.tie_points)
        yield from tie_faults(*points)
    elif isinstance(record, Crew):
        yield from words_of_crew(record)
    elif isinstance(record, Joint):
        yield from words_of_joint(record)
    elif isinstance(record, Site):
        yield from words_of_site(record, record.code)
    elif isinstance(record, Model):
        from_json(record.numbers)


def _beyond(column: Column, value: object, on: dt.date) -> Iterator[Problem]:
    problem = None
    if isinstance(column.bound, Bound) and isinstance(value, int | float):
        problem = bound_fault(value, column.bound, column.unit)
    elif isinstance(column.bound, DayBound) and isinstance(value, dt.date):
        problem = day_fault(value, column.bound, on)
    if problem is not None:
        yield replace(problem, column=column.label, value=str(value))
