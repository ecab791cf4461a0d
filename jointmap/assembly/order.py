"""In which order studs are tightened, from stud 1, for any number of studs."""

import numpy as np

from jointmap.errors import Problem, WrongUse
from jointmap.register.columns import Ids
from jointmap.tables.tightening import STARTERS

QUARTERS = 4
LEAST_STUDS = 2
# The largest flanges have about a hundred; the order of a thousand takes no time yet.
MOST_STUDS = 1000


def cross_order(stud_count: int) -> Ids:
    """Return the stud numbers in cross (star) order.

    A count of the table follows it. Any other multiple of four goes on in the same way:
    group by group of opposite pairs, groups far apart. Other counts pair each stud with
    the one opposite, or nearly, and go on with the middle of the widest gap.

    Raises ``WrongUse`` for fewer than two studs, and for more than a flange can have.
    """
    if stud_count > MOST_STUDS:
        facts = {"count": stud_count, "most": MOST_STUDS}
        raise WrongUse(Problem("fitting.too_many_studs", facts))
    if stud_count < LEAST_STUDS:
        raise WrongUse(Problem("fitting.too_few_studs", {"count": stud_count}))
    if stud_count % QUARTERS:
        return _by_widest_gap(stud_count)
    known = STARTERS.get(stud_count)
    if known is not None:
        starters = np.array(known.starters.split(), dtype=np.int64)
    else:
        starters = _by_widest_gap(stud_count // QUARTERS)
    quarter = stud_count // QUARTERS
    steps = np.array([0, 2 * quarter, quarter, 3 * quarter])
    return np.asarray((starters[:, None] + steps).ravel(), dtype=np.int64)


def round_order(stud_count: int) -> Ids:
    """Return the stud numbers clockwise from stud 1, seen from side A to side B."""
    return np.arange(1, stud_count + 1, dtype=np.int64)


def _by_widest_gap(count: int) -> Ids:
    # Each next stud is the one farthest, around the circle, from all done so far.
    places = np.arange(count)
    distance = np.full(count, count, dtype=np.int64)
    order = [0]
    for _ in range(count - 1):
        around = np.abs(places - order[-1])
        distance = np.minimum(distance, np.minimum(around, count - around))
        order.append(int(np.argmax(distance)))
    return np.array(order, dtype=np.int64) + 1


ORDERS = {"cross": cross_order, "round": round_order}
