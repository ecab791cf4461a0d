"""Limits of fitting by name, in SI, and where each comes from."""

from functools import cache

from jointmap.tables.fitting_limits import FITTING_LIMITS


@cache
def limit(name: str) -> float:
    """Return a limit in the unit its quantity is held in."""
    return FITTING_LIMITS[name].value_si


def named(name: str) -> str:
    """Return the source of a limit in words."""
    return FITTING_LIMITS[name].citation
