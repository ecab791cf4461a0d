"""Published values with their sources: a catalogue, not what is in force."""

from jointmap.tables.limits import LIMITS, CatalogueLimit
from jointmap.tables.methods import METHOD_CODES, METHODS, Method
from jointmap.tables.sources import SOURCES, Source

__all__ = [
    "LIMITS",
    "METHODS",
    "METHOD_CODES",
    "SOURCES",
    "CatalogueLimit",
    "Method",
    "Source",
]
