"""Ends that lie before their beginnings: days, degrees, hours of a day."""

from collections.abc import Iterator

from jointmap.errors import Problem, Refused
from jointmap.register import Crew, Record
from jointmap.routes import clock_second

# Devices and rules say so themselves, with sentences of their own.
ENDS: dict[str, tuple[tuple[str, str], ...]] = {
    "alias": (("from_on", "until_on"),),
    "boundary": (("joined_from_on", "joined_until_on"),),
    "certificate": (("valid_from_on", "valid_until_on"),),
    "crew": (("day_from", "day_until"),),
    "joint": (("in_duty_on", "out_of_duty_on"),),
    "limit": (("from_on", "until_on"),),
    "path": (("fitted_on", "removed_on"),),
    "qualification": (("valid_from_on", "valid_until_on"),),
    "site": (
        ("min_latitude_deg", "max_latitude_deg"),
        ("min_longitude_deg", "max_longitude_deg"),
    ),
}


def reversed_ends(record: Record) -> Iterator[Problem]:
    """Yield a fault for each pair of a record whose end lies before its beginning."""
    for first, last in ENDS.get(record.KIND, ()):
        start, end = getattr(record, first), getattr(record, last)
        if start in (None, "") or end in (None, ""):
            continue
        if _is_before(record, end, start):
            facts = {"value": end, "start": start, "first": first}
            yield Problem("row.reversed", facts, column=last, value=str(end))


def _is_before(record: Record, end: object, start: object) -> bool:
    if not isinstance(record, Crew):
        return bool(end < start)  # type: ignore[operator]
    try:
        return clock_second(str(end)) <= clock_second(str(start))
    except Refused:
        return False  # said of the cell itself
