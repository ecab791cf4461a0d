"""Checks of what was written down: layout, lubricant, faces, order, people, proof."""

import numpy as np

from jointmap.assembly.fitting_columns import FittingColumns, Texts
from jointmap.assembly.found import (
    DOES_NOT_MEET,
    MEETS,
    NOT_RECORDED,
    Found,
    by_state,
)
from jointmap.assembly.texts import (
    is_damaged,
    is_right_order,
    names_no_product,
    telling_word,
)
from jointmap.register.columns import Codes, Flags
from jointmap.tables.telling_words import TELLING_WORDS

_FILLERS = TELLING_WORDS["lubricant"]


def _state(conditions: list[Flags], last: int) -> Codes:
    """Return the place of the first condition that holds, else ``last``."""
    return np.select(conditions, range(len(conditions)), last).astype(np.int16)


def _blank(column: Texts) -> Flags:
    return column.flags(_is_blank)


def _is_blank(text: str) -> bool:
    return not text.strip()


def layout(rows: FittingColumns) -> Found:
    """Whether it is on record how many sides of a stud isolate."""
    meaning = {"fitting.layout.blank": NOT_RECORDED, "fitting.layout.meets": MEETS}
    state = _state([np.isnan(rows.sides)], 1)
    return by_state("layout", state, meaning, {"value": rows.sides}, "")


def lubricant(rows: FittingColumns) -> Found:
    """Whether the lubricant is named and holds no filler that conducts."""
    filler = rows.lubricant.told(lambda t: telling_word("lubricant", t), np.int64)
    unnamed = rows.lubricant.flags(names_no_product)
    state = _state([_blank(rows.lubricant), filler >= 0, unnamed], 3)
    words = np.array([*(f.word for f in _FILLERS), ""], dtype=object)
    values = {
        "lubricant": rows.lubricant,
        "allowed": rows.lubricant_allowed.told(_allowed, np.object_),
        "filler": words[filler],
    }
    meaning = {
        "fitting.lubricant_not_recorded": NOT_RECORDED,
        "fitting.lubricant_conducts": DOES_NOT_MEET,
        "fitting.lubricant_unnamed": NOT_RECORDED,
        "fitting.lubricant_fits": MEETS,
    }
    return by_state("lubricant", state, meaning, values, _FILLERS[0].citation)


def _allowed(text: str) -> str:
    return "not stated" if _is_blank(text) else text


def faces(rows: FittingColumns) -> Found:
    """Whether both faces are on record and sound."""
    both = (rows.face_a, rows.face_b)
    damaged = [face.flags(is_damaged) for face in both]
    blank = _blank(both[0]) | _blank(both[1])
    state = _state([damaged[0] | damaged[1], blank], 2)
    meaning = {
        "fitting.faces.fails": DOES_NOT_MEET,
        "fitting.faces.blank": NOT_RECORDED,
        "fitting.faces.meets": MEETS,
    }
    values = {"side_a": rows.face_a, "side_b": rows.face_b}
    source = TELLING_WORDS["face"][0].citation
    return by_state("faces", state, meaning, values, source)


def washer_order(rows: FittingColumns) -> Found:
    """Whether a steel washer lies between nut and isolating washer."""
    right = rows.washer_order.flags(is_right_order)
    state = _state([_blank(rows.washer_order), right], 2)
    meaning = {
        "fitting.washer_order.blank": NOT_RECORDED,
        "fitting.washer_order.meets": MEETS,
        "fitting.washer_order.fails": DOES_NOT_MEET,
    }
    values = {"order": rows.washer_order}
    return by_state("washer_order", state, meaning, values, _FILLERS[0].mark)


def tool(rows: FittingColumns) -> Found:
    """Whether the torque tool is named and was in date."""
    meaning = {
        "fitting.tool.blank": NOT_RECORDED,
        "fitting.tool.fails": DOES_NOT_MEET,
        "fitting.tool.meets": MEETS,
        "fitting.tool.named": MEETS,
    }
    state = (rows.tool + 1).astype(np.int16)
    return by_state("tool", state, meaning, {}, "its certificates on record")


def people(rows: FittingColumns) -> Found:
    """Whether fitter and witness are on record."""
    meaning = {"fitting.people.meets": MEETS, "fitting.people.blank": NOT_RECORDED}
    return by_state("people", _state([rows.has_people], 1), meaning, {}, "")


def photos(rows: FittingColumns) -> Found:
    """Whether there is a photo."""
    meaning = {"fitting.photos.meets": MEETS, "fitting.photos.blank": NOT_RECORDED}
    state = _state([rows.photos >= 1.0], 1)
    return by_state("photos", state, meaning, {"value": rows.photos}, "")


def proven(rows: FittingColumns) -> Found:
    """Whether tests before and after are on record, and not just by an ohmmeter."""
    by_word = rows.tests_after.flags(lambda text: telling_word("no proof", text) >= 0)
    state = _state([by_word, rows.has_before & rows.has_after], 2)
    meaning = {
        "fitting.proven_by_ohmmeter": DOES_NOT_MEET,
        "fitting.proven": MEETS,
        "fitting.not_proven": NOT_RECORDED,
    }
    source = TELLING_WORDS["no proof"][0].citation
    return by_state("proven", state, meaning, {"after": rows.tests_after}, source)
