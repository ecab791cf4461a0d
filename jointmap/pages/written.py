"""What came of writing pages: where to begin to read, and what there is to tell."""

from dataclasses import dataclass
from pathlib import Path

from jointmap.errors import Problem


@dataclass(frozen=True, slots=True)
class Written:
    """The page to begin with, and what was replaced, carried over or is older."""

    index: Path
    told: tuple[Problem, ...] = ()
