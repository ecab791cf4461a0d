"""Whether the potentials of one visit can be, beside each other, what they say.

A lost minus, a mV written as V, two crossed figures: each is a number that may stand
alone, and cannot stand beside the others of the same visit.
"""

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from jointmap.acceptance.potentials import Potentials, shifts
from jointmap.register.codes import Side
from jointmap.register.columns import Flags, Floats

# A structure that is nearer to its electrode than this may read on either side of zero
# (steel in concrete stands near -0.2 V; UFC 3-570-06, practical galvanic series).
NEAR_ZERO_VOLT = 0.1
# No buried metal is more positive by itself: carbon, at the noble end of the practical
# galvanic series, stands near +0.3 V to Cu/CuSO4 (UFC 3-570-06). Current off.
NOBLEST_VOLT = 0.5
# Between structures in one ground the factor stays below; mV for V is a factor of 1000
# (common practice, no source).
ORDERS = 100.0
# Of the near side's step, beyond which a far side that goes the other way is doubted
# (judgement).
MOST_OPPOSITE = 0.5
# Two readings of one metal differ by this much at most, by electrode and meter (common
# practice, no source); in the sample two structures kept apart stand 0.02 V apart or
# more. A far side that moves by less of the near step is still (judgement).
SAME_VOLT, MOST_STILL = 0.005, 0.10
_PLACES = 9


class Odd(NamedTuple):
    """One way in which figures are odd: where, and which figure is in question."""

    kind: str
    column: str  # of ``Potentials``
    rows: Flags


def odd_potentials(read: Potentials) -> Iterator[Odd]:
    """Yield each figure that cannot be, beside the others of its visit."""
    yield from _two_signs(read)
    yield from _too_noble(read)
    most = largest(read)
    for column in Potentials._fields[:4]:
        size = np.abs(getattr(read, column))
        # A reading of nothing at all is a loose lead, which the leads' proof tells.
        small = np.round(size * ORDERS, _PLACES) <= np.round(most, _PLACES)
        yield Odd("other_order", column, (size > 0) & small)
    yield from _far_goes_further(read)


def _too_noble(read: Potentials) -> Iterator[Odd]:
    """Yield each figure above what metal shows by itself: off, or the only one read."""
    for on_name, off_name in (Potentials._fields[:2], Potentials._fields[2:4]):
        on, off = getattr(read, on_name), getattr(read, off_name)
        yield Odd("too_noble", off_name, off > NOBLEST_VOLT)
        yield Odd("too_noble", on_name, np.isnan(off) & (on > NOBLEST_VOLT))


def largest(read: Potentials) -> Floats:
    """Return the largest figure of each visit, without its sign; NaN for none."""
    found: Floats = np.fmax.reduce(np.abs(np.stack(read[:4])), axis=0)
    return found


def _two_signs(read: Potentials) -> Iterator[Odd]:
    """Yield the positive figure of a side that was read on both sides of zero."""
    for on_name, off_name in (Potentials._fields[:2], Potentials._fields[2:4]):
        on, off = getattr(read, on_name), getattr(read, off_name)
        two = (on * off < 0) & (np.fmin(np.abs(on), np.abs(off)) >= NEAR_ZERO_VOLT)
        yield Odd("two_signs", on_name, two & (on > 0))
        yield Odd("two_signs", off_name, two & (off > 0))


def _far_goes_further(read: Potentials) -> Iterator[Odd]:
    """Yield the far side's on where it went the other way by over half the near step.

    What leaks over goes the same way; what the current's field drives at a distance is
    far less than what it drives at the source (common practice, no source).
    """
    near, far, _ = shifts(read)
    further = (near < 0) & (np.round(far + near * MOST_OPPOSITE, _PLACES) > 0)
    yield from _of_far_side("far_goes_further", "on_volt", further, read)


def at_one_potential(read: Potentials) -> Iterator[Odd]:
    """Yield the far side's off where it equals the near side's and does not follow.

    Both leads may have been on one structure for one of the two readings. It may be
    chance as well, so this is asked and judges nothing.
    """
    near, _, ratio = shifts(read)
    same = np.round(np.abs(read.a_off_volt - read.b_off_volt), _PLACES) <= SAME_VOLT
    odd = same & (near < 0) & (np.abs(ratio) <= MOST_STILL)
    yield from _of_far_side("one_potential", "off_volt", odd, read)


def _of_far_side(
    kind: str, figure: str, rows: Flags, read: Potentials
) -> Iterator[Odd]:
    """Yield a figure of the side that was not interrupted."""
    for side, column in ((Side.A, f"b_{figure}"), (Side.B, f"a_{figure}")):
        yield Odd(kind, column, rows & (read.interrupted_side == side))
