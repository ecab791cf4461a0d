"""Which kits, batches, crews, years or services fail early, allowing for many looks.

Each class is held against all others over the same early years: how many failures would
the others' rate give in its exposure? Many classes looked at will show some small p by
chance alone, so each raw p stands beside one corrected for all looks (Holm 1979).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import betainc, gammainc

from jointmap.register.columns import Codes, Floats, Ids, Table

# With fewer devices than this a class is one story, not a class (judgement).
LEAST_DEVICES = 3


@dataclass(frozen=True, slots=True)
class Watched(Table):
    """One row per device: its early years, up to its first failure."""

    failures: Ids
    exposure_year: Floats


@dataclass(frozen=True, slots=True)
class EarlyClasses(Table):
    """One row per class looked at, the least likely first."""

    look: Ids  # place of the attribute, in the order given
    code: Ids  # place of the class in that attribute's names
    devices: Ids
    failures: Ids
    exposure_year: Floats
    expected: Floats  # at the rate of all others
    raw_p: Floats  # chance of as many or more, if the others' rate were its own
    share_p: Floats  # the same, the others' rate being known from their count only
    corrected_p: Floats  # raw_p for all looks together


def early_years(
    fitted_years: Floats, failed_years: Floats, seen_until_years: Floats, early: float
) -> Watched:
    """Return each device's exposure in its first ``early`` years, and its failure.

    Times are years on one clock; ``failed_years`` is infinity where none is known. A
    device is exposed until it failed, was last seen or grew older than ``early``.
    """
    ends = np.minimum(fitted_years + early, seen_until_years)
    failed = (failed_years <= ends) & (failed_years >= fitted_years)
    exposure = np.maximum(np.minimum(ends, failed_years) - fitted_years, 0.0)
    return Watched(failed.astype(np.int64), exposure)


def early_classes(
    watched: Watched, looks: Mapping[str, tuple[Sequence[str], Codes]]
) -> EarlyClasses:
    """Hold each class of each look against all other devices.

    Parameters
    ----------
    looks
        By attribute (batch, crew, year ...): the classes' names, and each device's
        place in them; -1 where it is not on record.
    """
    parts = [
        _one_look(watched, n, len(names), codes)
        for n, (names, codes) in enumerate(looks.values())
    ]
    whole = [np.concatenate(column) for column in zip(*parts, strict=True)]
    raw = whole[6]
    order = np.lexsort((-whole[4], raw))
    found = [column[order] for column in whole]
    look, code, devices, failures, years, expected, raw_p, share_p = found
    return EarlyClasses(
        look,
        code,
        devices,
        failures,
        years,
        expected,
        raw_p,
        share_p,
        corrected_for_looks(raw_p),
    )


def _one_look(
    watched: Watched, look: int, classes: int, codes: Codes
) -> tuple[np.ndarray, ...]:
    known = codes >= 0
    own = codes[known]
    devices = np.bincount(own, minlength=classes)
    failures = np.bincount(own, watched.failures[known], classes)
    exposure = np.bincount(own, watched.exposure_year[known], classes)
    asked = np.flatnonzero((devices >= LEAST_DEVICES) & (exposure > 0))
    asked = asked[exposure[asked] < watched.exposure_year.sum()]
    x, years = failures[asked], exposure[asked]
    other_x = watched.failures.sum() - x
    other_years = watched.exposure_year.sum() - years
    expected = other_x / other_years * years
    share = by_share(x, other_x, years / (years + other_years))
    # Others without a failure have a rate, only no count of it: then the share speaks.
    raw = np.where(other_x > 0, at_least(x, expected), share)
    return (
        np.full(len(asked), look),
        asked,
        devices[asked],
        x.astype(np.int64),
        years,
        expected,
        raw,
        share,
    )


def at_least(count: Floats, expected: Floats) -> Floats:
    """Return the exact Poisson chance of ``count`` or more where ``expected`` come."""
    some: Floats = gammainc(np.maximum(count, 1), expected)
    return np.where(count > 0, some, 1.0)


def by_share(count: Floats, others: Floats, share: Floats) -> Floats:
    """Return the chance of ``count`` or more of all failures falling into a share.

    Exact binomial: given how many failures there were, each falls by exposure.
    """
    some = np.asarray(betainc(np.maximum(count, 1), others + 1.0, share), np.float64)
    return np.where(count > 0, some, 1.0)


def corrected_for_looks(raw_p: Floats) -> Floats:
    """Return Holm's corrected p of each, for ``raw_p`` in rising order."""
    looks = len(raw_p) - np.arange(len(raw_p))
    return np.minimum(np.maximum.accumulate(raw_p * looks), 1.0)
