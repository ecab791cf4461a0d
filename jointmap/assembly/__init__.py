"""Fitting a joint right: numbers before, judgement after; see ``CHECKS``."""

from jointmap.assembly.checks import CHECKS, Review, review, review_all
from jointmap.assembly.fittings import FittingColumns, Surroundings, fittings_of
from jointmap.assembly.found import Check, Result

__all__ = [
    "CHECKS",
    "Check",
    "FittingColumns",
    "Result",
    "Review",
    "Surroundings",
    "fittings_of",
    "review",
    "review_all",
]
