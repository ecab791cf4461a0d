"""Columns of words: each distinct one once, and its place for every row."""

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import count
from typing import Any, Generic, Self, TypeVar, overload

import numpy as np
import numpy.typing as npt

from jointmap.register.columns import Flags

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Coded(Generic[T]):
    """One column; what is asked of a word is asked once, however many rows have it."""

    words: tuple[T, ...]
    place: npt.NDArray[np.integer[Any]]  # of each row's word

    @classmethod
    def of(cls, values: Sequence[T]) -> Self:
        """Return the column of some values."""
        # A word that is not there yet gets the next place: one look-up a row, no loop.
        places: dict[T, int] = defaultdict(count().__next__)
        found = np.fromiter(map(places.__getitem__, values), np.int32, len(values))
        return cls(tuple(places), _narrow(found, len(places)))

    def __len__(self) -> int:
        return len(self.place)

    @overload
    def __getitem__(self, rows: int) -> T: ...
    @overload
    def __getitem__(self, rows: npt.NDArray[np.generic]) -> Self: ...
    def __getitem__(self, rows: int | npt.NDArray[np.generic]) -> T | Self:
        """Return the word of one row, or the column of some (places or a mask)."""
        place = self.place[rows]
        if isinstance(rows, int):
            return self.words[int(place)]
        if len(self.words) <= len(place):
            return type(self)(self.words, place)
        kept, place = np.unique(place, return_inverse=True)
        return type(self)(tuple(self.words[k] for k in kept.tolist()), place)

    def told(self, tell: Callable[[T], Any], dtype: npt.DTypeLike) -> npt.NDArray[Any]:
        """Return for each row what ``tell`` says of its word."""
        found: npt.NDArray[Any] = np.array(list(map(tell, self.words)), dtype=dtype)
        return np.asarray(found[self.place])

    def flags(self, tell: Callable[[T], Any]) -> Flags:
        """Return for each row whether ``tell`` holds of its word."""
        found: Flags = self.told(tell, np.bool_)
        return found


def stacked(parts: Sequence[Coded[T]]) -> Coded[T]:
    """Return the rows of all parts as one column."""
    words = Coded.of([word for part in parts for word in part.words])
    starts = np.cumsum([0, *(len(part.words) for part in parts)])
    pairs = zip(parts, starts.tolist(), strict=False)
    own = [words.place[start : start + len(p.words)][p.place] for p, start in pairs]
    return Coded(words.words, np.concatenate(own))


def _narrow(
    place: npt.NDArray[np.integer[Any]], words: int
) -> npt.NDArray[np.integer[Any]]:
    # A million rows of a few words need a byte each.
    return place.astype(np.min_scalar_type(words))


def together(columns: Sequence[Coded[Any]]) -> Coded[tuple[Any, ...]]:
    """Return as one column what several say of each row."""
    key = np.zeros(len(columns[0]), dtype=np.int64)
    for column in columns:
        key = key * len(column.words) + column.place
    _, first, place = np.unique(key, return_index=True, return_inverse=True)
    words = tuple(tuple(c[row] for c in columns) for row in first.tolist())
    return Coded(words, place)
