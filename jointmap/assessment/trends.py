"""Series of readings that may fall toward their limit."""

from dataclasses import dataclass

import numpy as np

from jointmap.acceptance import Judgements
from jointmap.hazard.trend import (
    Lines,
    Readings,
    lines_through,
    method_spread,
    years_of,
)
from jointmap.register.codes import LimitRole, Scope, Verdict
from jointmap.register.columns import Floats, Ids, TestColumns
from jointmap.register.joining import row_of
from jointmap.snapshot.gather import pick
from jointmap.snapshot.site_columns import Ground
from jointmap.tables import METHOD_CODES

_LEAST = [r.code for r in (LimitRole.ISOLATING_AT_LEAST, LimitRole.ISOLATING_ABOVE)]
_SCOPES = [s.code for s in (Scope.JOINT, Scope.STUD, Scope.GASKET_CORE)]
_SUMMER = range(4, 10)
# Of scope, stud, side, method and season, each from -1.
_BITS = (3, 16, 2, 5, 2)


@dataclass(frozen=True, slots=True)
class Series:
    """Lines through like readings: same joint, place, side, method, half-year."""

    lines: Lines
    joint_row: Ids  # place in the ground's joints
    limit_ohm: Floats  # that the last reading was held against; NaN: none


def read_series(ground: Ground, tests: TestColumns, judgements: Judgements) -> Series:
    """Return every series of readings of the devices fitted now."""
    joint = row_of(ground.joints.joint_id, tests.joint_id)
    fitted = pick(ground.joints.fitted_on, joint, np.datetime64("NaT", "D"))
    real = (tests.reading_ohm > 0) & (tests.reading_bound == 0) & judgements.counts
    real &= np.isin(tests.scope, _SCOPES) & (joint >= 0) & (tests.tested_on >= fitted)
    # A reading under its limit is a finding, not a trend: a drop to it is no line.
    real &= judgements.verdict == Verdict.ISOLATING
    at = np.flatnonzero(real)
    at = at[np.argsort(tests.tested_on[at], kind="stable")]
    own = tests.take(at)
    month = own.tested_on.astype("datetime64[M]").astype(np.int64) % 12 + 1
    # One number for what makes readings alike: codes from -1, each with its bits.
    key = joint[at]
    summer = np.isin(month, _SUMMER).astype(np.int16)
    alike = (own.scope, own.stud, own.side, own.method, summer)
    for codes, bits in zip(alike, _BITS, strict=True):
        key = (key << bits) + codes + 1
    kinds, series = np.unique(key, return_inverse=True)
    value = np.log10(own.reading_ohm)
    readings = Readings(series, years_of(own.tested_on), value, own.method)
    rows = row_of(ground.limits.limit_id, judgements.limit_id[at])
    is_least = np.isin(pick(ground.limits.role, rows, -1), _LEAST)
    limit = np.full(len(kinds), np.nan)
    # Assigned in order of time: what the last reading was held against stays.
    limit[series] = np.where(is_least, judgements.against[at], np.nan)
    lines = lines_through(readings, len(kinds))
    return Series(lines, kinds >> sum(_BITS), limit)


def spread_by_method(series: Series) -> dict[str, float]:
    """Return each method's scatter about its lines, in decades, where known."""
    found = method_spread(series.lines, len(METHOD_CODES))
    pairs = zip(METHOD_CODES, found.tolist(), strict=True)
    return {code: value for code, value in pairs if value > 0}
