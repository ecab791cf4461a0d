"""What the due list shows."""

import datetime as dt
from dataclasses import dataclass

from jointmap.register.codes import DueState
from jointmap.reports.views import (
    NO_LINK,
    NO_SIGN,
    ClockRow,
    Frame,
    Link,
    Sign,
)


@dataclass(frozen=True, slots=True)
class DueMember:
    """A joint that the reading of a line credits, with a due state of its own."""

    link: Link
    state: Sign
    last_allowed_on: dt.date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DueLine:
    """A reading to be made, and what it credits.

    ``subject`` is what it is made for: a joint, a path, a boundary or a source, and all
    else here is told of it; ``credited`` are the joints whose dates it moves, too.
    ``next_step`` is blank where it is this very test.
    ``state.word`` is a word of ``DueState``. Without basis: no ``last_allowed_on``.
    """

    subject: Link
    is_joint: bool = True
    credited: tuple[DueMember, ...] = ()
    state: Sign
    last_allowed_on: dt.date | None = None
    days_left: int | None = None
    boundary: Link = NO_LINK
    area: str = ""
    method: str = ""
    last_test_on: dt.date | None = None
    verdict: Sign = NO_SIGN
    basis: str = ""
    because: str = ""
    source: str = ""
    remark: str = ""
    clocks: str = ""
    next_step: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DuePage:
    """All lines, the earliest last allowed day first; ``no basis`` lines anywhere.

    ``ValueError`` if a line's state is no word of ``DueState``.
    """

    frame: Frame
    lines: tuple[DueLine, ...]
    until: dt.date | None = None
    clocks: tuple[ClockRow, ...] = ()

    def __post_init__(self) -> None:
        """Refuse a state the page has no place for; its line would be lost."""
        for line in self.lines:
            DueState(line.state.word)

    def of_state(self, word: str) -> tuple[DueLine, ...]:
        """Return the lines whose state is ``word``."""
        return tuple(line for line in self.lines if line.state.word == word)

    def joints(self, word: str = "") -> int:
        """Return how many joints are in a state, each by its own, or are listed."""
        own = [line.state.word for line in self.lines if line.is_joint]
        credited = [m.state.word for line in self.lines for m in line.credited]
        return _count([*own, *credited], word)

    def others(self, word: str = "") -> int:
        """Return how many paths, boundaries and sources are, or are listed."""
        return _count([i.state.word for i in self.lines if not i.is_joint], word)


def _count(words: list[str], word: str) -> int:
    return words.count(word) if word else len(words)
