"""Where to read along a main so that each reading halves what is left to search."""

from typing import NamedTuple

import numpy as np

from jointmap.register.columns import Floats


class Cut(NamedTuple):
    """One reading on the main, between two services; places count along it from 0.

    ``first`` to ``last`` are still in question; the reading is made after ``after``.
    The next step is 0 where one service is left on that side.
    """

    step: int
    first: int
    last: int
    after: int
    next_before: int
    next_beyond: int


def halving_plan(chance: Floats) -> tuple[Cut, ...]:
    """Return the readings that find a drain among services in their order on a main.

    Each splits the chance that is left as evenly as it can. The side that draws the
    current goes on; if both do, both go on. Nothing is disconnected. One service or
    none needs no reading.
    """
    total = np.concatenate([[0.0], np.cumsum(chance)])
    cuts: list[Cut] = []
    open_ = [(0, len(chance) - 1)] if len(chance) > 1 else []
    number = {part: step for step, part in enumerate(open_, start=1)}
    while open_:
        first, last = open_.pop(0)
        after = _middle(total, first, last)
        parts = [(first, after), (after + 1, last)]
        for part in parts:
            if part[1] > part[0]:
                open_.append(part)
                number[part] = len(number) + 1
        before, beyond = (number.get(part, 0) for part in parts)
        cuts.append(Cut(number[first, last], first, last, after, before, beyond))
    return tuple(cuts)


def most_readings(cuts: tuple[Cut, ...]) -> int:
    """Return how many readings it takes at most to find one drain."""
    deep = {0: 0}
    for cut in reversed(cuts):
        deep[cut.step] = 1 + max(deep[cut.next_before], deep[cut.next_beyond])
    return deep[1] if cuts else 0


def _middle(total: Floats, first: int, last: int) -> int:
    before = total[first + 1 : last + 1] - total[first]
    whole = total[last + 1] - total[first]
    off = np.abs(2 * before - whole)
    # Of equal splits the one nearest the middle of the places.
    centre = np.abs(np.arange(first, last) - (first + last - 1) / 2)
    return first + int(np.lexsort((centre, np.round(off, 12)))[0])
