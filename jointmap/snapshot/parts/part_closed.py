"""All that the rows of a part refer to, however far, with papers and positions."""

from collections.abc import Iterable

from jointmap.register import (
    FORMS,
    Altered,
    Certificate,
    Instrument,
    Person,
    Position,
    Qualification,
    Record,
)
from jointmap.register.altered import ALTERED_KINDS
from jointmap.register.codes import KIND_OF_SUBJECT
from jointmap.storage import Reading
from jointmap.storage.beside import referred
from jointmap.storage.within import Only


def closed(state: Reading, only: Only) -> Only:
    """Return a part with all that its rows refer to, so that no row names another."""
    found: dict[type[Record], set[int]] = {k: {*ids} for k, ids in only.items()}
    found.setdefault(Altered, set())
    new: Only = found
    while any(new.values()):
        new = _referred(state, new, found)
        for kind, ids in new.items():
            found.setdefault(kind, set()).update(ids)
    papers = {
        Certificate: ("instrument_id", Instrument),
        Qualification: ("person_id", Person),
    }
    for kind, (column, owner) in papers.items():
        found.setdefault(owner, set())
        found[kind] = {*state.ids_with(kind, column, found[owner])}
    found[Position] = _positions(state, found)
    return found


def _referred(state: Reading, new: Only, found: Only) -> Only:
    """Return what some rows refer to and is not among those found."""
    more: dict[type[Record], set[int]] = {}
    for kind, ids in new.items():
        for word, named in referred(state, kind, ids).items():
            record = FORMS[word].record
            more.setdefault(record, set()).update(named - {*found.get(record, ())})
        # What a record was goes with it: on an earlier day it reads so.
        was = {*altered_of(state, kind, ids)} - {*found[Altered]}
        more.setdefault(Altered, set()).update(was)
    return more


def altered_of(state: Reading, kind: type[Record], ids: Iterable[int]) -> list[int]:
    """Return the alterations of some records, of whatever day."""
    if kind.KIND not in ALTERED_KINDS:
        return []
    subject = str(ALTERED_KINDS[kind.KIND][0])
    known = state.whatever_day
    return known.ids_with(Altered, "subject_id", [*ids], subject=subject)


def _positions(state: Reading, only: Only) -> set[int]:
    kinds = {kind.KIND: ids for kind, ids in only.items()}
    return {
        id_
        for subject, kind in KIND_OF_SUBJECT.items()
        for id_ in _positions_of(state, str(subject), kinds.get(kind, ()))
    }


def _positions_of(state: Reading, subject: str, ids: Iterable[int]) -> list[int]:
    return state.ids_with(Position, "subject_id", [*ids], subject=subject)
