"""The suspects of every shorted boundary with their chances, from the site's record."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from jointmap.assessment.assess import Assessment
from jointmap.register.codes import DeviceKind, PathKind, Verdict
from jointmap.register.joining import row_of
from jointmap.sections import (
    SUSPECT_REASONS,
    Ranking,
    came_to_join,
    chances,
    rate_learned,
)
from jointmap.snapshot.gather import pick
from jointmap.tables.suspecting import (
    NONE_OF_THESE,
    NOT_KNOWN,
    SUSPECT_FINDINGS,
    SUSPECT_KINDS,
)

Array = npt.NDArray[Any]
# Devices first, then paths: a suspect's kind is a place in this list.
KINDS: tuple[str, ...] = (*map(str, DeviceKind), NOT_KNOWN, *map(str, PathKind))
_UNKNOWN = KINDS.index(NOT_KNOWN)
_FIRST_PATH = _UNKNOWN + 1
# Taken where no good reading of a boundary is on record (owner's choice).
YEARS_WITHOUT_A_GOOD_DAY = 5.0
_DAYS_A_YEAR = 365.25
_FINDING = np.array(
    [
        SUSPECT_FINDINGS[name].if_joining / SUSPECT_FINDINGS[name].if_apart
        for name in SUSPECT_REASONS
    ]
)


@dataclass(frozen=True, slots=True)
class Ranked:
    """Chances beside the suspects of an assessment, and the kind of each."""

    ranking: Ranking
    kind: Array  # place in KINDS
    new_on: Array  # since when it is there, if after the last good reading; else NaT


def ranked(found: Assessment) -> Ranked:
    """Return the chances of all suspects on the day of ``found``."""
    kind, fitted_on = _kinds(found)
    rates = _rates(found)
    states = found.boundaries
    row = row_of(states.boundary_id, found.suspects.boundary_id)
    good, bad = states.last_good_on[row], states.first_bad_on[row]
    is_new = fitted_on > good
    years = _years(np.where(is_new, fitted_on, good), bad)
    at_once = np.array([SUSPECT_KINDS[k].at_once for k in KINDS])
    prior = came_to_join(rates[kind], years, at_once[kind], is_new)
    other = SUSPECT_KINDS[NONE_OF_THESE].per_year
    since = _years(states.last_good_on, states.first_bad_on)
    none = came_to_join(
        np.full(len(states), other),
        since,
        np.zeros(len(states)),
        np.zeros(len(states), dtype=bool),
    )
    finding = _FINDING[found.suspects.reason]
    new_on = np.where(is_new, fitted_on, np.datetime64("NaT", "D"))
    ranking = chances(found.suspects, states, prior, none, finding)
    return Ranked(ranking, kind, new_on)


def _kinds(found: Assessment) -> tuple[Array, Array]:
    """Return the kind of each suspect, and since when it is there."""
    joints, paths, who = found.ground.joints, found.ground.paths, found.suspects
    joint = row_of(joints.joint_id, who.joint_id)
    path = row_of(paths.path_id, who.path_id)
    device = pick(joints.device_kind, joint, -1)
    device = np.where(device >= 0, device, _UNKNOWN)
    of_path = pick(paths.kind, path, 0) + _FIRST_PATH
    is_path = who.path_id > 0
    nat = np.datetime64("NaT", "D")
    fitted = np.where(
        is_path,
        pick(paths.fitted_on, path, nat),
        pick(joints.fitted_on, joint, nat),
    )
    return np.where(is_path, of_path, device).astype(np.int64), fitted


def _years(since: Array, until: Array) -> Array:
    days = (until - since).astype("timedelta64[D]")
    years = days.astype(np.float64) / _DAYS_A_YEAR
    return np.where(np.isnat(days), YEARS_WITHOUT_A_GOOD_DAY, np.maximum(years, 0.0))


def _rates(found: Assessment) -> Array:
    """Return joining per year of each kind: the catalogue's, with the site's count.

    Counted is only what was itself found to join; suspects never are.
    """
    count, years = np.zeros(len(KINDS)), np.zeros(len(KINDS))
    for kind, at, how_long in (_of_devices(found), _of_paths(found)):
        count += np.bincount(kind[at], minlength=len(KINDS))
        years += np.bincount(kind, how_long, minlength=len(KINDS))
    rows = [SUSPECT_KINDS[k] for k in KINDS]
    return rate_learned(
        np.array([r.per_year for r in rows]),
        np.array([r.weight_years for r in rows]),
        count.astype(np.int64),
        years,
    )


def _of_devices(found: Assessment) -> tuple[Array, Array, Array]:
    devices, tests, judged = found.ground.devices, found.tests, found.judgements
    shorted = judged.tells_device & judged.counts
    shorted &= judged.verdict == Verdict.SHORTED
    bad = np.isin(devices.id, tests.device_id[shorted])
    kind = np.where(devices.kind >= 0, devices.kind, _UNKNOWN).astype(np.int64)
    return kind, bad, _served(found, devices.fitted_on, devices.removed_on)


def _of_paths(found: Assessment) -> tuple[Array, Array, Array]:
    paths, tests = found.ground.paths, found.tests
    shorted = found.judgements.verdict == Verdict.SHORTED
    bad = np.isin(paths.path_id, tests.path_id[shorted & (tests.path_id > 0)])
    kind = paths.kind.astype(np.int64) + _FIRST_PATH
    return kind, bad, _served(found, paths.fitted_on, paths.removed_on)


def _served(found: Assessment, since: Array, until: Array) -> Array:
    on = np.datetime64(found.on, "D")
    ended = np.where(np.isnat(until), on, np.minimum(until, on))
    days = (ended - since).astype("timedelta64[D]")
    years = np.maximum(days.astype(np.float64) / _DAYS_A_YEAR, 0.0)
    return np.where(np.isnat(days), 0.0, years)
