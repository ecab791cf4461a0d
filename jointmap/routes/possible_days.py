"""Which crew-days could take a stop at all, and why none can."""

from collections.abc import Iterator

import numpy as np

from jointmap.errors import Problem
from jointmap.register.columns import Flags
from jointmap.register.told import Told
from jointmap.routes.problem import clock_text
from jointmap.routes.schedule import Month, start_second


def possible(month: Month) -> Flags:
    """Return which crew-day could take which stop alone, shape (stops, crew-days)."""
    allowed = np.ones((len(month.stops), len(month.crew_days)), dtype=bool)
    for _, mask in _conditions(month):
        allowed &= mask
    return allowed


def why_unserved(month: Month, stop: int) -> Problem:
    """Return the first condition that leaves the stop without a crew-day.

    Where all can be met, the month has no room left: ``route.no_room``.
    """
    one = Month(month.stops.take(np.array([stop])), month.crew_days, month.travel)
    values = _values(one)
    left = np.ones((1, len(month.crew_days)), dtype=bool)
    for reason, mask in _conditions(one):
        left &= mask
        if not left.any():
            return Problem(reason, values)
    return Problem("route.no_room", values)


def has_passed(month: Month) -> Flags:
    """Return which stops' last allowed day lies before the first crew-day."""
    last = month.stops.last_allowed_on
    days = month.crew_days.day_on
    return last < days.min() if len(days) else np.zeros(len(last), dtype=bool)


def _conditions(month: Month) -> Iterator[tuple[str, Flags]]:
    stops, days = month.stops, month.crew_days
    yield "route.no_crew_day", _in_window(month)
    yield "route.closed", _is_open(month)
    any_crew = (stops.area < 0)[:, None]
    # A row of its own for "no area", so that -1 finds a column.
    serves = np.column_stack([days.serves, np.ones(len(days), dtype=bool)])
    yield "route.area", any_crew | serves.T[stops.area]
    yield "route.two_persons", ~stops.two_persons[:, None] | (days.persons > 1)[None, :]
    arrive = days.from_second + month.travel.second[days.depot_place][:, stops.place].T
    start = start_second(arrive, stops.permit_from_second[:, None])
    leave = start + stops.service_second[:, None]
    yield "route.permit_hours", ~(leave > stops.permit_until_second[:, None])
    back = month.travel.second[stops.place][:, days.depot_place]
    yield "route.too_long", leave + back <= days.until_second


def _in_window(month: Month) -> Flags:
    day = month.crew_days.day_on[None, :]
    last = month.stops.last_allowed_on[:, None]
    # NaT compares as false, so each side is asked whether it forbids.
    passed = has_passed(month)[:, None]
    return ~(day < month.stops.earliest_on[:, None]) & (~(day > last) | passed)


def _is_open(month: Month) -> Flags:
    day = month.crew_days.day_on
    return month.stops.is_open[:, (day - day.astype("datetime64[M]")).astype(np.int64)]


def _values(one: Month) -> dict[str, object]:
    stop = one.stops
    limits = stop.permit_from_second[0], stop.permit_until_second[0]
    hours = ["" if np.isnan(second) else clock_text(second) for second in limits]
    return {
        "when": _window_told(one),
        "permit_from": hours[0],
        "permit_until": hours[1],
        "service_second": float(stop.service_second[0]),
    }


def _window_told(one: Month) -> Told:
    """Return on which days the stop may be visited: never a span that ends first."""
    earliest, last = one.stops.earliest_on[0], one.stops.last_allowed_on[0]
    facts = {"earliest": str(earliest), "last": str(last)}
    if np.isnat(last):
        return Told("route.window_open", facts)
    is_over = bool(has_passed(one)[0] or last < earliest)
    return Told("route.window_passed" if is_over else "route.window", facts)
