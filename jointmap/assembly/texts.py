"""What the words of a fitting record say: sizes, materials, schemes, faults named."""

import math
import re
from functools import lru_cache

from jointmap.tables.flanges import FLANGE_PLACES
from jointmap.tables.materials import MATERIAL_PLACES
from jointmap.tables.studs import STUD_GRADES, STUD_THREADS, THREAD_PLACES
from jointmap.tables.telling_words import TELLING_WORDS
from jointmap.units.inches import INCH_METRE

# A place in a table; these two stand for none.
NOT_LISTED = -1
NOT_NAMED = -2

_SIZE = re.compile(
    r"(?:NPS)?\s*(\d+(?:[- ]\d+/\d+)?|\d+/\d+)(?:\s*(?:\"|in|inch))?"
    r"(?:\s*-\s*\d+\s*UN[CR]?)?",
    re.IGNORECASE,
)
_METRIC = re.compile(
    r"M\s*(\d+(?:\.\d+)?)(?:\s*[x\u00d7]\s*(\d+(?:\.\d+)?))?", re.IGNORECASE
)
_FLANGE_SIZES = {size for size, _ in FLANGE_PLACES}
# A bare number that is a size in either way of counting: NPS 20, or DN 20 (NPS 3/4).
_INCH_OR_MILLIMETRE = "20"
_RAISED_FACE = ("raised face", "rf", "raised")
# Words that say that what follows is not there, and that it was put right.
_NOT_THERE = r"(?<!\bno )(?<!without )(?<!free of )(?<!not )(?<!not by )(?<![\w-])"
_PUT_RIGHT = re.compile(r"\b(repaired|dressed|machined)\b", re.IGNORECASE)
_STACK = ("nut", "steel", "isolat", "flange")


@lru_cache(maxsize=4096)
def size_of(text: str) -> str:
    """Return a size as tables spell it, ``1-3/8``; blank where it is no inch size."""
    found = _SIZE.fullmatch(text.strip())
    return found.group(1).replace(" ", "-") if found else ""


@lru_cache(maxsize=4096)
def flange_place(nominal_size: str, pressure_class: int | None, facing: str) -> int:
    """Return the place of a flange in ``FLANGES``; never that of a neighbour.

    A facing or a size that no row has is not listed, whatever its class.
    """
    size = size_of(nominal_size)
    if facing.strip() and facing.strip().lower() not in _RAISED_FACE:
        return NOT_LISTED
    if nominal_size.strip() and size not in _FLANGE_SIZES:
        return NOT_LISTED
    is_named = nominal_size.strip() not in ("", _INCH_OR_MILLIMETRE)
    if not is_named or pressure_class is None or not facing:
        return NOT_NAMED
    return FLANGE_PLACES.get((size, pressure_class), NOT_LISTED)


@lru_cache(maxsize=4096)
def thread_place(stud_size: str) -> int:
    """Return the place of a stud size in ``STUD_THREADS``."""
    if not stud_size.strip():
        return NOT_NAMED
    return THREAD_PLACES.get(size_of(stud_size), NOT_LISTED)


@lru_cache(maxsize=4096)
def stud_of(stud_size: str) -> tuple[float, float]:
    """Return a stud's diameter and pitch in metres; NaN where neither is known.

    A metric stud is no row of our tables, but its name gives both: ``M36x4``.
    """
    place = thread_place(stud_size)
    if place >= 0:
        row = STUD_THREADS[place]
        return row.diameter_inch * INCH_METRE, INCH_METRE / row.threads_per_inch
    found = _METRIC.fullmatch(stud_size.strip())
    if found is None:
        return math.nan, math.nan
    diameter, pitch = found.groups()
    return float(diameter) / 1000.0, float(pitch or math.nan) / 1000.0


@lru_cache(maxsize=4096)
def grade_name(text: str) -> str:
    """Return the grade a text names, as tables spell it, or a blank."""
    words = re.findall(r"\w+", text.upper())
    return next((row.grade for row in STUD_GRADES if row.grade in words), "")


@lru_cache(maxsize=4096)
def material_place(text: str) -> int:
    """Return the place of the first known material that ``text`` names as a whole word.

    A laminate on a metal core is judged by its laminate.
    """
    if not text.strip():
        return NOT_NAMED
    for word in sorted(MATERIAL_PLACES, key=len, reverse=True):
        if re.search(rf"(?<![\w-]){re.escape(word)}(?![\w-])", text.lower()):
            return MATERIAL_PLACES[word]
    return NOT_LISTED


@lru_cache(maxsize=4096)
def telling_word(about: str, text: str) -> int:
    """Return the place of the first telling word that ``text`` says of itself.

    "non-metallic", "lead-free" and "no score" say that it is not there.
    """
    for place, row in enumerate(TELLING_WORDS[about]):
        word = rf"{_NOT_THERE}{row.word}\b(?!-free)"
        if re.search(word, text, re.IGNORECASE):
            return place
    return NOT_LISTED


@lru_cache(maxsize=4096)
def names_no_product(text: str) -> bool:
    """Return whether a lubricant's cell holds words but no product."""
    plain = text.strip().lower()
    return any(plain == row.word for row in TELLING_WORDS["no product"])


@lru_cache(maxsize=4096)
def is_damaged(face: str) -> bool:
    """Return whether a face's text names damage that was not put right."""
    if _PUT_RIGHT.search(face):
        return False
    return telling_word("face", face) != NOT_LISTED


@lru_cache(maxsize=4096)
def is_right_order(washers: str) -> bool:
    """Return whether a stack reads nut, steel, isolating, flange, from either end."""
    plain = washers.lower().replace("insulat", "isolat")
    found = [plain.find(word) for word in _STACK]
    return -1 not in found and found in (sorted(found), sorted(found, reverse=True))
