"""Which row of a delivery stops a reader: found by halving, with loads thrown away."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from jointmap.attached.within_limits import TimeIsUp, used_seconds
from jointmap.errors import JointmapError, Problem, Refused
from jointmap.exchange.drafts import Read
from jointmap.wording import say
from jointmap.wording.problems import line_of

# Processor time for the search; then the rows that are left are named together.
SEARCH_SECONDS = 120.0

Attempt = Callable[[Sequence[Read]], object]


class ReaderStops(Refused):
    """What is to be kept would stop a reader; ``reader`` is its name."""

    def __init__(self, reader: str, error: Exception) -> None:
        """Say which reader stops, and what it said."""
        self.reader = reader
        facts = {"reader": reader, "said": _said(error)}
        super().__init__(Problem("trial.stops", facts))


def _said(error: Exception) -> str:
    if isinstance(error, JointmapError):
        return "; ".join(line_of(p) for p in error.problems)
    if isinstance(error, TimeIsUp):
        return say("trial.endless")
    if isinstance(error, MemoryError):
        return say("trial.memory")
    return f"{type(error).__name__}: {error}"


@dataclass(frozen=True, slots=True)
class _Rows:
    """The rows of a delivery, in the order of its files."""

    reads: Sequence[Read]

    def __len__(self) -> int:
        return sum(len(read.drafts) for read in self.reads)

    def first(self, count: int) -> list[Read]:
        """Return the delivery as if it ended after so many rows."""
        found = []
        for read in self.reads:
            found.append(Read(read.drafts[: max(count, 0)]))
            count -= len(read.drafts)
        return found

    def place(self, row: int) -> tuple[str, int]:
        """Return file and line of a row."""
        drafts = [d for read in self.reads for d in read.drafts]
        return drafts[row].file, drafts[row].line


def named_culprit(stop: ReaderStops, sent: Sequence[Read], attempt: Attempt) -> Refused:
    """Return what to raise: the reader that stops, and the row that makes it stop.

    ``attempt`` loads a part of the delivery, keeps nothing, and raises ``ReaderStops``.
    """
    rows = _Rows(sent)
    low, high = _halved(rows, attempt, stop.reader)
    file, line = rows.place(high - 1)
    if high - low == 1:
        return Refused([replace(p, file=file, line=line) for p in stop.problems])
    first_file, first_line = rows.place(low)
    facts = {"first": f"{first_file}:{first_line}", "last": f"{file}:{line}"}
    return Refused([*stop.problems, Problem("trial.between", facts)])


def _halved(rows: _Rows, attempt: Attempt, reader: str) -> tuple[int, int]:
    """Return the longest beginning known to be sound, the shortest that is not."""
    low, high = 0, len(rows)
    until = used_seconds() + SEARCH_SECONDS
    while high - low > 1 and used_seconds() < until:
        middle = (low + high) // 2
        if _stops(attempt, rows.first(middle), reader):
            high = middle
        else:
            low = middle
    return low, high


def _stops(attempt: Attempt, part: Sequence[Read], reader: str) -> bool:
    try:
        attempt(part)
    except ReaderStops as stop:
        return stop.reader == reader
    except Refused:
        return False
    return False
