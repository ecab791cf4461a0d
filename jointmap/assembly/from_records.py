"""Fitting records, one or many, turned into the columns that the checks read."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from operator import attrgetter
from typing import Any

import numpy as np

from jointmap.assembly.coded import Coded
from jointmap.assembly.fitting_columns import FittingColumns
from jointmap.assembly.fittings import (
    DEVICE_FIELDS,
    RECORD_FIELDS,
    Columns,
    fittings_of,
)
from jointmap.register import Column, Device, Installation, Record, form_of


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What other records say of a fitting; None where they say nothing."""

    service_temperature_degc: float | None = None
    tool_in_date: bool | None = None


NOWHERE = Surroundings()


def fittings_of_records(
    devices: Sequence[Device],
    records: Sequence[Installation],
    around: Sequence[Surroundings] = (),
) -> FittingColumns:
    """Return the columns of fitting records and their devices, in the given order."""
    around = around or [NOWHERE] * len(records)
    degrees = [a.service_temperature_degc for a in around]
    return fittings_of(
        columns_of(Device, devices, DEVICE_FIELDS),
        columns_of(Installation, records, RECORD_FIELDS),
        np.array(degrees, dtype=np.float64),
        np.array(list(map(_tool, records, around)), dtype=np.int16),
    )


def columns_of(
    kind: type[Record], records: Sequence[Record], names: Iterable[str]
) -> Columns:
    """Return the named fields of records as columns."""
    columns = {column.name: column for column in form_of(kind).columns}
    return {
        name: _column(columns[name], [getattr(record, name) for record in records])
        for name in names
    }


def _column(column: Column, values: list[Any]) -> Any:  # noqa: ANN401
    if column.words is not None:
        return Coded.of(values).told(attrgetter("code"), np.int16)
    if column.type is str:
        return Coded.of(values)
    return np.array(values, dtype=np.float64)  # None becomes NaN


def _tool(record: Installation, around: Surroundings) -> int:
    if record.torque_tool_id is None:
        return -1
    return 2 if around.tool_in_date is None else int(around.tool_in_date)
