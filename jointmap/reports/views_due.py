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


@dataclass(frozen=True, slots=True, kw_only=True)
class DueLine:
    """What is to be tested together: a joint, a test group, a path or a source.

    ``subjects`` are the joints of one test group (or the one other subject);
    ``state.word`` is a word of ``DueState``. Without basis: no ``last_allowed_on``.
    """

    subjects: tuple[Link, ...]
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

    def subjects(self, word: str) -> int:
        """Return how many joints (or other subjects) stand in lines of that state."""
        return sum(len(line.subjects) for line in self.of_state(word))
