"""What the due list shows."""

import datetime as dt
from dataclasses import dataclass

from jointmap.reports.views import Frame, Link, Sign


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
    boundary: Link = Link("")
    area: str = ""
    method: str = ""
    last_test_on: dt.date | None = None
    verdict: Sign = Sign()
    basis: str = ""
    because: str = ""
    source: str = ""
    remark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DuePage:
    """All lines, the earliest last allowed day first; ``no basis`` lines anywhere."""

    frame: Frame
    lines: tuple[DueLine, ...]
    until: dt.date | None = None

    def of_state(self, word: str) -> tuple[DueLine, ...]:
        """Return the lines whose state is ``word``."""
        return tuple(line for line in self.lines if line.state.word == word)

    def subjects(self, word: str) -> int:
        """Return how many joints (or other subjects) stand in lines of that state."""
        return sum(len(line.subjects) for line in self.of_state(word))
