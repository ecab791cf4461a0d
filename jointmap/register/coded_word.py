"""A fixed word that knows its place in its list: columns hold the place.

The stored word is the member itself; it is hashed in the record chain and never
changes. What a person reads stands in ``wording`` and may.
"""

from enum import StrEnum
from typing import Any, Self

import numpy as np


class CodedWord(StrEnum):
    """A word that may be compared with a text, with a code, or with a column.

    >>> class Light(CodedWord):
    ...     RED = "red"
    ...     GREEN = "green"
    >>> np.array([0, 1, -1]) == Light.GREEN
    array([False,  True, False])
    >>> np.array(["red", "amber"]) == Light.RED
    array([ True, False])
    """

    code: int
    # A column leaves the comparison to the word.
    __array_ufunc__ = None

    def __init__(self, _: str) -> None:
        """Take the next place of the list."""
        self.code = len(type(self).__members__)

    @classmethod
    def at(cls, code: int) -> Self:
        """Return the word that a column's code stands for."""
        return list(cls)[code]

    def __eq__(self, other: object) -> Any:  # noqa: ANN401 - of a column, flags
        """Whether a text or a code is this word; of a column, where it is."""
        if isinstance(other, np.ndarray):
            return other == (self.code if other.dtype.kind in "iu" else str(self))
        if isinstance(other, int | np.integer):
            return bool(self.code == other)
        return str.__eq__(self, other) if isinstance(other, str) else NotImplemented

    def __ne__(self, other: object) -> Any:  # noqa: ANN401
        """Whether a text or a code is another word; of a column, where it is."""
        found = self.__eq__(other)
        if isinstance(found, np.ndarray):
            return ~found
        return found if found is NotImplemented else not found

    __hash__ = str.__hash__
