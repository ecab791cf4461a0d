"""From sequences of stops to clock times, legs and totals."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from jointmap.register.columns import Floats
from jointmap.routes.plan import (
    CrewDayColumns,
    Plan,
    RouteColumns,
    StopColumns,
    TravelTimes,
    Unserved,
    VisitColumns,
)

VISIT_TYPES = (np.int64, np.int64, np.int64, *(np.float64,) * 4, np.bool_)
ROUTE_TYPES = (np.int64, np.int64, *(np.float64,) * 6, np.bool_)


@dataclass(frozen=True, slots=True)
class Month:
    """The whole task: what to visit, who can, and how far it is."""

    stops: StopColumns
    crew_days: CrewDayColumns
    travel: TravelTimes


def timed(
    sequences: Mapping[int, Sequence[int]],
    unserved: Sequence[Unserved],
    month: Month,
) -> Plan:
    """Return the plan that visits these stops in this order, as early as possible.

    Parameters
    ----------
    sequences : mapping
        Row of the crew-days to rows of the stops, in order of visiting.
    unserved : sequence of Unserved
        The stops left out.
    month : Month
        The task. Nothing is checked here: ``check.faults`` does that.
    """
    days = month.crew_days
    used = [row for row, stops in sequences.items() if len(stops)]
    used.sort(key=lambda row: (days.day_on[row], days.crew[row], row))
    visits, routes = [], []
    for row in used:
        made = _visits(row, sequences[row], month)
        visits.extend(made)
        routes.append(_route(row, made, sequences[row][-1], month))
    left = sorted(unserved, key=lambda u: u.joint_id)
    return Plan(
        VisitColumns(*_columns(visits, VISIT_TYPES)),
        RouteColumns(*_columns(routes, ROUTE_TYPES)),
        tuple(left),
    )


def start_second(arrive: Floats, permit_from: Floats) -> Floats:
    """Return when work starts: on arrival, or when the permit begins."""
    return np.where(permit_from > arrive, permit_from, arrive)


def _visits(row: int, stops: Sequence[int], month: Month) -> list[tuple[object, ...]]:
    here = month.crew_days.depot_place[row]
    now = month.crew_days.from_second[row]
    made: list[tuple[object, ...]] = []
    for order, stop in enumerate(stops, start=1):
        there = month.stops.place[stop]
        arrive = now + month.travel.second[here, there]
        start = start_second(arrive, month.stops.permit_from_second[stop])
        now = start + month.stops.service_second[stop]
        metre = month.travel.metre[here, there]
        guess = month.travel.is_estimated[here, there]
        joint = month.stops.joint_id[stop]
        made.append((row, order, joint, arrive, start, now, metre, guess))
        here = there
    return made


def _route(
    row: int, visits: Sequence[tuple[object, ...]], last: int, month: Month
) -> tuple[object, ...]:
    _, _, _, arrive, start, leave, metre, guess = _columns(visits, VISIT_TYPES)
    depart = month.crew_days.from_second[row]
    leg = month.stops.place[last], month.crew_days.depot_place[row]
    back, back_metre = month.travel.second[leg], month.travel.metre[leg]
    drive = (arrive - np.concatenate(([depart], leave[:-1]))).sum() + back
    return (
        row,
        len(visits),
        depart,
        leave[-1] + back,
        drive,
        (leave - start).sum(),
        metre.sum() + back_metre,
        back_metre,
        guess.any() or month.travel.is_estimated[leg],
    )


def _columns(
    rows: Sequence[tuple[object, ...]], types: Sequence[type]
) -> list[np.ndarray]:
    columns = zip(*rows, strict=True) if rows else ([] for _ in types)
    return [np.array(c, dtype=t) for c, t in zip(columns, types, strict=True)]
