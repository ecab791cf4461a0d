"""Fitting a joint right: numbers before, judgement after; see ``CHECKS``."""

from jointmap.assembly.checks import CHECKS, Review, review, review_all
from jointmap.assembly.coded import Coded, stacked
from jointmap.assembly.fitting_columns import FittingColumns
from jointmap.assembly.fittings import (
    DEVICE_FIELDS,
    RECORD_FIELDS,
    Columns,
    fittings_of,
)
from jointmap.assembly.found import Check, Result
from jointmap.assembly.from_records import (
    Surroundings,
    columns_of,
    fittings_of_records,
)

__all__ = [
    "CHECKS",
    "DEVICE_FIELDS",
    "RECORD_FIELDS",
    "Check",
    "Coded",
    "Columns",
    "FittingColumns",
    "Result",
    "Review",
    "Surroundings",
    "columns_of",
    "fittings_of",
    "fittings_of_records",
    "review",
    "review_all",
    "stacked",
]
