"""Every exception raised on purpose, and what a problem is made of.

A problem carries a stable id and its values; ``wording`` makes the sentence.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong, as data: id, values, and where it stands."""

    id: str
    values: Mapping[str, object] = field(default_factory=dict)
    file: str = ""
    line: int = 0
    column: str = ""
    value: str = ""


class JointmapError(Exception):
    """Base of all; ``exit_code`` is what the command line ends with."""

    exit_code = 3

    def __init__(self, problems: Problem | Sequence[Problem]) -> None:
        found = (problems,) if isinstance(problems, Problem) else tuple(problems)
        self.problems = found
        super().__init__("; ".join(f"{p.id} {dict(p.values)}" for p in found))


class WrongUse(JointmapError):  # noqa: N818 - they read as sentences
    """The call itself is off: an unknown tag, a folder that is no site."""

    exit_code = 2


class Refused(JointmapError):  # noqa: N818
    """The input is refused and the register is unchanged."""

    exit_code = 3


class BrokenRegister(JointmapError):  # noqa: N818
    """The register does not hold what its own chain says it holds."""

    exit_code = 4
