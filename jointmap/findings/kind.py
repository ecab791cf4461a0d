"""A kind of finding: how grave it is, and where its threshold is from."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import IntEnum


class Gravity(IntEnum):
    """How soon somebody has to act; the gravest comes first."""

    ACT_TODAY = 1
    ACT_SOON = 2
    LOOK = 3
    FOR_THE_RECORD = 4


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of finding, declared beside the finder that finds it.

    Its words stand under its id in ``wording/sentences/kinds_of_finding.json``: title,
    the question that it answers, its threshold, its next step. Its examples, one that
    fires and one that does not, are the case of its id in the table of the tests.

    Parameters
    ----------
    id
        Name in CSV and links.
    gravity
        How soon somebody has to act.
    source
        Where the threshold is from: an id of the sentences ``finding_source``.
    day
        Which of a finding's values is the day that it is about; blank for none.
    numbers
        The numbers of the threshold, as its sentence names them.
    """

    id: str
    gravity: Gravity
    source: str
    day: str = ""
    numbers: Mapping[str, object] = field(default_factory=dict, hash=False)
