"""How a paper of a person or an instrument stands for a test, and whether it counts.

A column holds both as one number, made by ``paper_code``.
"""

import numpy as np
import numpy.typing as npt

from jointmap.register.coded_word import CodedWord
from jointmap.register.columns import Codes, Flags


class PaperState(CodedWord):
    """What is on record of a paper for what was done, on the day of the test."""

    VALID = "valid"
    NOT_NEEDED = "not needed"
    ENDED = "ended"
    NOT_YET = "not yet valid"
    NONE_ON_RECORD = "none on record"
    NONE_NAMED = "none named"
    OTHER_TASK = "for another task"
    OTHER_KIND = "of a kind that cannot read this"


class Counting(CodedWord):
    """Whether a paper lets a test count, and by what."""

    NOT = "does not count"
    BY_ITSELF = "counts"
    BY_EXCEPTION = "counts by an accepted exception"
    BY_RULE = "counts by a rule of the owner"


# Nothing is missing; all else counts by a decision only (decision 0079).
SOUND = (PaperState.VALID, PaperState.NOT_NEEDED)

# What a rule of the owner may let count, by the word in its decision. A kind of
# instrument that cannot make a reading is no matter of papers.
NONE_KEPT = str(PaperState.NONE_ON_RECORD)
RULED: dict[str, tuple[PaperState, ...]] = {
    NONE_KEPT: (
        PaperState.NONE_ON_RECORD,
        PaperState.NONE_NAMED,
        PaperState.NOT_YET,
    ),
    str(PaperState.ENDED): (PaperState.ENDED,),
    str(PaperState.OTHER_TASK): (PaperState.OTHER_TASK,),
}

_WAYS = len(Counting)


def paper_code(state: npt.ArrayLike, counting: npt.ArrayLike) -> Codes:
    """Return states and how each counts as one column.

    >>> int(paper_code(PaperState.ENDED.code, Counting.BY_RULE.code))
    11
    """
    return np.asarray(np.asarray(state) * _WAYS + np.asarray(counting), np.int16)


def state_of(code: Codes) -> Codes:
    """Return the codes of ``PaperState`` in a column.

    >>> PaperState.at(int(state_of(np.int16(11))))
    <PaperState.ENDED: 'ended'>
    """
    return np.asarray(code // _WAYS, np.int16)


def counting_of(code: Codes) -> Codes:
    """Return the codes of ``Counting`` in a column."""
    return np.asarray(code % _WAYS, np.int16)


def lets_count(code: Codes) -> Flags:
    """Return which papers let their test count.

    >>> lets_count(paper_code([1, 1], [Counting.NOT.code, Counting.BY_RULE.code]))
    array([False,  True])
    """
    counts: Flags = counting_of(code) != Counting.NOT
    return counts
