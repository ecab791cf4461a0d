"""Words in a fitting record that tell of a fault, and why each counts."""

from dataclasses import dataclass

from jointmap.tables.rows import Published, read_rows
from jointmap.tables.sources import packaged

FILE = "telling_words.csv"


@dataclass(frozen=True, slots=True, kw_only=True)
class TellingWord(Published):
    """One word; ``about`` is lubricant, face, no product, no proof, soft gasket."""

    about: str
    word: str


def _by_subject(rows: tuple[TellingWord, ...]) -> dict[str, tuple[TellingWord, ...]]:
    subjects = dict.fromkeys(row.about for row in rows)
    return {a: tuple(r for r in rows if r.about == a) for a in subjects}


TELLING_WORDS: dict[str, tuple[TellingWord, ...]] = _by_subject(
    read_rows(FILE, packaged(FILE), TellingWord)
)
