"""Limits from the catalogue, or of the owner's own, into force."""

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from jointmap.errors import Problem, Refused
from jointmap.register import Limit
from jointmap.register.codes import LimitRole, Mark, Purpose
from jointmap.register.columns import LimitColumns
from jointmap.tables import LIMITS, METHOD_CODES, METHODS, SOURCES
from jointmap.units import to_si

# quantity -> the unit a limit in force is written in
SI_UNITS = {"resistance": "ohm", "voltage": "V", "ratio": "ratio"}
# Above this an installed joint reads the ground beside it, never itself (judgement).
MOST_INSTALLED_OHM = 1000.0


def limit_in_force(
    name: str, from_on: dt.date, until_on: dt.date | None = None
) -> Limit:
    """Return the catalogue's limit ``name`` as a record in force from a day on.

    Its value is in SI, its source the source's title. ``KeyError`` if unknown.
    """
    row = LIMITS[name]
    record = Limit(
        name=row.name,
        from_on=from_on,
        until_on=until_on,
        method=row.method,
        role=LimitRole(row.role),
        value=row.value,
        unit=row.unit,
        purpose=Purpose(row.purpose) if row.purpose else None,
        source=SOURCES[row.source].title,
        clause=row.clause,
        edition=row.edition,
        mark=Mark(row.mark),
    )
    return in_si(record)


def in_si(limit: Limit) -> Limit:
    """Return ``limit`` with its value in SI, as ``LimitColumns`` needs it.

    Raises
    ------
    Refused
        ``limit.*`` or ``unit.*``: the method is unknown or compares no number, the unit
        does not fit, or an installed joint is asked for what no reading can show.
    """
    quantity = _quantity(limit)
    value = _value_in_si(limit, quantity)
    converted = replace(limit, value=value, unit=SI_UNITS[quantity])
    faults = list(_faults(converted))
    if faults:
        raise Refused(faults)
    return converted


def _value_in_si(limit: Limit, quantity: str) -> float:
    if limit.unit == SI_UNITS[quantity]:
        return limit.value
    try:
        return to_si(limit.value, limit.unit, quantity)
    except Refused as refused:
        raise Refused(
            [replace(p, column="unit", value=limit.unit) for p in refused.problems]
        ) from None


def limit_columns(limits: Sequence[tuple[int, Limit]]) -> LimitColumns:
    """Return limits in force, each with its id, as columns; values become SI."""
    rows = [(number, in_si(limit)) for number, limit in limits]
    return LimitColumns(
        limit_id=np.array([number for number, _ in rows], np.int64),
        method=np.array([METHOD_CODES.get(x.method, -1) for _, x in rows], np.int16),
        role=np.array([x.role.code for _, x in rows], np.int16),
        purpose=np.array([_purpose(x) for _, x in rows], np.int16),
        value=np.array([x.value for _, x in rows], np.float64),
    )


def _purpose(limit: Limit) -> int:
    return -1 if limit.purpose is None else limit.purpose.code


def _quantity(limit: Limit) -> str:
    """Return the quantity that ``limit`` is a number of."""
    if limit.method and limit.method not in METHOD_CODES:
        facts = {"method": limit.method, "accepted": ", ".join(METHOD_CODES)}
        raise Refused(Problem("limit.method", facts, "", 0, "method", limit.method))
    if limit.role in (LimitRole.GUARD_AT_LEAST, LimitRole.STOP_AT_LEAST):
        return "voltage"
    found = METHODS[METHOD_CODES[limit.method]].quantity if limit.method else ""
    if not found:
        facts = {"method": limit.method, "role": limit.role}
        raise Refused(Problem("limit.no_number", facts, "", 0, "method", limit.method))
    return found


def _faults(limit: Limit) -> Iterator[Problem]:
    if limit.value < 0:
        yield Problem("limit.negative", column="value")
    asks = (
        limit.role is LimitRole.ISOLATING_AT_LEAST and limit.value > MOST_INSTALLED_OHM
    )
    if asks and limit.method == "joint-resistance":
        facts = {"value": limit.value, "most": MOST_INSTALLED_OHM}
        yield Problem("limit.installed", facts, column="value")
