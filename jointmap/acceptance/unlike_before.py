"""Good readings that are far from every good one of their place before.

A far side read at another boundary, a shifted point, kohm written for ohm: the reading
looks good, and the place never read so before.
"""

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from jointmap.acceptance.same_figures import FigureColumns
from jointmap.register.codes import Side
from jointmap.register.columns import Flags, Floats, Ids
from jointmap.register.joining import alike

# Beyond all good readings before by more than this: a side that was interrupted moves
# with what its source gives; one that was not stands where it stood, once that is known
# by enough readings (judgement; in the sample at most 0.05 V, and 0.03 V).
MOVED_VOLT, STOOD_VOLT = 0.10, 0.05
LEAST, ENOUGH = 2, 5
# A resistance of one device: so many times the highest before, and so many times the
# scatter of its own readings above their mean (judgement).
TIMES, SCATTERS = 3.0, 4.0
# More than lies between any two volts, or logarithms of ohm.
_APART = 1e3


class Unlike(NamedTuple):
    """One figure of some readings, with what their places read before."""

    figure: str
    row: Ids
    before: Ids  # the row of the last good reading before
    value: Floats
    least: Floats
    most: Floats
    earlier: Ids  # how many those were


class _Told(NamedTuple):
    """Good figures by group and day, each with those before it in its group."""

    row: Ids
    before: Ids
    value: Floats
    least: Floats
    most: Floats
    earlier: Ids  # how many those were
    mean: Floats
    scatter: Floats

    def where(self, figure: str, odd: Flags) -> Unlike:
        """Return the rows that are odd."""
        return Unlike(
            figure,
            self.row[odd],
            self.before[odd],
            self.value[odd],
            self.least[odd],
            self.most[odd],
            self.earlier[odd],
        )


def unlike_before(read: FigureColumns, good: Flags, device_id: Ids) -> Iterator[Unlike]:
    """Yield the figures of good readings that are unlike all good ones before.

    Only the last visit of a spot is asked: what was read again since is settled. The
    resistance is that of the device that was there.
    """
    last = _is_last(read)
    for side, name in ((Side.A, "a"), (Side.B, "b")):
        on, off = (getattr(read, f"{name}_{word}_volt") for word in ("on", "off"))
        told = _told(read, read.spot, np.where(np.isnan(off), on, off), good)
        stood = read.interrupted_side[told.row] != side.code
        margin = np.where(stood & (told.earlier >= ENOUGH), STOOD_VOLT, MOVED_VOLT)
        beyond = np.fmax(told.value - told.most, told.least - told.value)
        odd = (told.earlier >= LEAST) & (beyond > margin)
        yield told.where(name, odd & last[told.row])
    yield _resistance(read, good, device_id, last)


def _resistance(
    read: FigureColumns, good: Flags, device_id: Ids, last: Flags
) -> Unlike:
    exact = (read.reading_bound == 0) & (read.reading_ohm > 0)
    size = np.log10(np.where(exact, read.reading_ohm, np.nan))
    group = alike(read.spot, read.side, device_id)
    told = _told(read, group, size, good)
    wide = SCATTERS * told.scatter * np.sqrt(1 + 1 / np.maximum(told.earlier, 1))
    odd = (told.earlier >= ENOUGH) & (told.value > told.mean + wide)
    odd &= (told.value > told.most + np.log10(TIMES)) & last[told.row]
    found = told.where("reading", odd)
    ohms = {n: 10 ** getattr(found, n) for n in ("value", "least", "most")}
    return found._replace(**ohms)


def _is_last(read: FigureColumns) -> Flags:
    """Return which rows are of the last day on which their spot was read."""
    day = read.tested_on.astype("datetime64[D]").astype(np.int64)
    latest = np.full(int(read.spot.max(initial=-1)) + 1, np.iinfo(np.int64).min)
    np.maximum.at(latest, read.spot, day)
    last: Flags = latest[read.spot] == day
    return last


def _told(read: FigureColumns, group: Ids, values: Floats, good: Flags) -> _Told:
    row = np.flatnonzero(good & ~np.isnan(values))
    row = row[np.lexsort((read.test_id[row], read.tested_on[row], group[row]))]
    value, at = values[row], np.arange(len(row))
    starts = np.ones(len(row), np.bool_)
    starts[1:] = group[row][1:] != group[row][:-1]
    start = np.maximum.accumulate(np.where(starts, at, 0))
    earlier = at - start
    own = np.maximum(earlier, 1)
    mean = _sum_before(value, start) / own
    square = _sum_before(value**2, start) / own
    spare = np.maximum(earlier - 1, 1)
    scatter = np.sqrt(np.maximum(square - mean**2, 0.0) * earlier / spare)
    least, most = (sign * _most_before(sign * value, starts) for sign in (-1, 1))
    before = row[np.maximum(at - 1, 0)]
    return _Told(row, before, value, least, most, earlier, mean, scatter)


def _sum_before(value: Floats, start: Ids) -> Floats:
    total = np.append(0.0, np.cumsum(value))
    found: Floats = total[:-1] - total[start]
    return found


def _most_before(value: Floats, starts: Flags) -> Floats:
    """Return the highest value before each in its group; of the first, its own."""
    shift = np.cumsum(starts) * _APART
    most = np.maximum.accumulate(value + shift)
    found: Floats = np.where(starts, value + shift, np.roll(most, 1)) - shift
    return found
