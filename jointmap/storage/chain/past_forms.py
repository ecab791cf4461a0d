"""Form numbers: which column list a row was hashed under, and the lists of the past.

Each entry states the form number of every kind it holds, inside its own hash, so that
nobody can choose among forms afterwards. Entries of form 1, which state none, were all
written while every kind had form 1. When a record's FORM goes up, the column list that
it had is written here, so that the leaves of old rows can be made again for ever.
"""

import json
from collections.abc import Iterator, Mapping, Sequence

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from jointmap.register import FORMS, Form
from jointmap.storage.schema import ENTRIES

# Kind, then form number, then the names of its columns.
PAST_FORMS: Mapping[str, Mapping[int, tuple[str, ...]]] = {
    "rule": {
        1: (
            "name",
            "from_on",
            "until_on",
            "shape",
            "basis",
            "subject",
            "years",
            "months",
            "days",
            "factor",
            "trigger",
            "purpose",
            "severity",
            "structure_kind",
            "path_kind",
            "critical_only",
            "protected_only",
            "source",
            "clause",
            "edition",
            "mark",
            "says_not",
            "decision_id",
            "origin",
            "as_written",
            "correction_reason",
        ),
    },
}
BEFORE_STATED = 1  # the form of every kind in an entry that states none


def columns_then(form: Form, number: int | None) -> Sequence[str] | None:
    """Return the column names of a kind under a form number; None: no such form."""
    if number == form.number:
        return [c.name for c in form.columns]
    past = PAST_FORMS.get(form.kind, {})
    return None if number is None else past.get(number)


def forms_text(forms: Mapping[str, int]) -> str:
    """Return form numbers by kind as an entry states them."""
    return json.dumps(forms, sort_keys=True, separators=(",", ":"))


def forms_in(text: object) -> Mapping[str, int]:
    """Return the form numbers by kind that an entry states; of odd text, none."""
    if text is None:
        return dict.fromkeys(FORMS, BEFORE_STATED)
    try:
        found = json.loads(str(text))
    except (ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) and forms_text(found) == text else {}


class Stated:
    """The form numbers that each entry of a site states, read once."""

    def __init__(self, texts: Iterator[tuple[object, object]]) -> None:
        """Take pairs of entry number and what it states."""
        read: dict[object, Mapping[str, int]] = {}
        self._forms: dict[object, Mapping[str, int]] = {}
        for entry, text in texts:
            if text not in read:
                read[text] = forms_in(text)
            self._forms[entry] = read[text]

    def number(self, entry: object, kind: str) -> int | None:
        """Return the form of a kind in an entry; None where it states none."""
        found = self._forms.get(entry, {}).get(kind)
        return found if type(found) is int else None


def read_stated(connection: Connection, site_id: int) -> Stated:
    """Return the form numbers that every entry of a site states."""
    query = sa.select(ENTRIES.c.entry, ENTRIES.c.forms)
    rows = connection.execute(query.where(ENTRIES.c.site_id == site_id))
    return Stated((row.entry, row.forms) for row in rows)
