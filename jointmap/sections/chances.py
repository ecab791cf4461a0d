"""How likely each suspect is the cause, by Bayes: priors, tests so far, ways round."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from jointmap.register.codes import Verdict
from jointmap.register.columns import Flags, Floats, Ids, Table
from jointmap.register.joining import row_of
from jointmap.sections.boundaries import BoundaryStates
from jointmap.sections.electrical import loops
from jointmap.sections.suspects import Suspects

# Round trips over more boundaries than this are not reckoned: 2 to the power of it.
MOST_IN_A_LOOP = 12
_LEAST = 1e-9


@dataclass(frozen=True, slots=True)
class Chances(Table):
    """One row per shorted boundary; with its own suspects they sum to one."""

    boundary_id: Ids
    way_round: Floats  # it reads shorted by third structures only; NaN not reckoned
    none_of_these: Floats  # metal that is not on record


class Ranking(NamedTuple):
    """Chances of the suspects in their order, and what is left beside them.

    ``suspect`` is NaN where a suspect stands on another boundary of a way round: its
    chance is told with that boundary.
    """

    suspect: Floats
    boundary: Chances


def chances(
    suspects: Suspects,
    states: BoundaryStates,
    prior: Floats,
    not_on_record: Floats,
    finding: Floats,
) -> Ranking:
    """Return the chance that each suspect is the one that joins its boundary.

    Each device and path, and some metal that is not on record, joins or not by itself.
    A boundary that was read shorted is joined directly, or by others in a row; every
    pattern of joined boundaries that explains all readings is weighed. Where it is
    joined directly the chances are those of exactly one joining, so they sum to one.

    Parameters
    ----------
    prior
        Per suspect: chance that it came to join since the last good reading.
    not_on_record
        The same per boundary, for metal that nobody wrote down.
    finding
        Per suspect: how much likelier what was found of it is if it joins than if not;
        1 where nothing was found.
    """
    own = suspects.boundary_id == suspects.through_boundary_id
    row = row_of(states.boundary_id, suspects.boundary_id)
    odds = _odds(prior) * finding
    none = _odds(not_on_record)
    count = len(states)
    total = none + np.bincount(row[own], odds[own], minlength=count)
    joined = np.log1p(none) + np.bincount(
        row[own], np.log1p(odds[own]), minlength=count
    )
    direct = _direct(states, np.expm1(joined))
    asked = np.flatnonzero(states.state == Verdict.SHORTED)
    reckoned = np.where(np.isnan(direct), 1.0, direct)
    return Ranking(
        np.where(own, reckoned[row] * odds / total[row], np.nan),
        Chances(
            states.boundary_id[asked],
            1.0 - direct[asked],
            (reckoned * none / total)[asked],
        ),
    )


def _odds(chance: Floats) -> Floats:
    kept = np.clip(chance, _LEAST, 1.0 - _LEAST)
    return kept / (1.0 - kept)


def _direct(states: BoundaryStates, weight: Floats) -> Floats:
    """Return per boundary the chance that something on it joins; NaN not reckoned."""
    shorted: Flags = states.state == Verdict.SHORTED
    links = np.flatnonzero(shorted | states.joined_on_purpose)
    label = loops(states.structure_a_id[links], states.structure_b_id[links])
    direct = np.ones(len(states))
    _, place, size = np.unique(label, return_inverse=True, return_counts=True)
    order = np.argsort(place, kind="stable")
    parts = np.split(links[order], np.cumsum(size)[:-1]) if len(links) else []
    for loop in (part for part in parts if len(part) > 1):
        fits = len(loop) <= MOST_IN_A_LOOP
        direct[loop] = _of_loop(states, loop, weight) if fits else np.nan
    return direct


def _of_loop(states: BoundaryStates, loop: Ids, weight: Floats) -> Floats:
    count = len(loop)
    is_joined = ((np.arange(2**count)[:, None] >> np.arange(count)) & 1).astype(bool)
    on_purpose = states.joined_on_purpose[loop]
    possible = (is_joined | ~on_purpose).all(axis=1)
    explained = _explained(states, loop, is_joined) | on_purpose
    each = np.where(is_joined & ~on_purpose, weight[loop], 1.0).prod(axis=1)
    each = each * (possible & explained.all(axis=1))
    found: Floats = (each[:, None] * is_joined).sum(axis=0) / each.sum()
    return found


def _explained(states: BoundaryStates, loop: Ids, is_joined: Flags) -> Flags:
    """Return per pattern and boundary whether its two sides are one metal."""
    a, b = states.structure_a_id[loop], states.structure_b_id[loop]
    nodes = np.unique(np.concatenate([a, b]))
    a, b = np.searchsorted(nodes, a), np.searchsorted(nodes, b)
    reach = np.zeros((len(is_joined), len(nodes), len(nodes)), np.uint8)
    reach[:, np.arange(len(nodes)), np.arange(len(nodes))] = 1
    for link in range(len(loop)):
        reach[:, a[link], b[link]] |= is_joined[:, link]
        reach[:, b[link], a[link]] |= is_joined[:, link]
    for _ in range(int(np.ceil(np.log2(len(nodes))))):
        reach = (np.matmul(reach, reach) > 0).astype(np.uint8)
    return reach[:, a, b].astype(bool)


def bits_told(chance: Floats, catches: Floats, false_alarm: Floats) -> Floats:
    """Return how much a check tells (bits) of whether its suspect is the cause.

    Mutual information of the check's answer and the cause.
    """
    bad = chance * catches + (1.0 - chance) * false_alarm
    left = chance * _bits(catches) + (1.0 - chance) * _bits(false_alarm)
    return np.maximum(_bits(bad) - left, 0.0)


def _bits(chance: Floats) -> Floats:
    kept = np.clip(chance, _LEAST, 1.0 - _LEAST)
    return -(kept * np.log2(kept) + (1.0 - kept) * np.log2(1.0 - kept))


def came_to_join(
    rate_per_year: Floats, years: Floats, at_once: Floats, is_new: Flags
) -> Floats:
    """Return the chance that something came to join in so many years.

    What was fitted after the last good reading may have joined as it was fitted.
    """
    in_time = -np.expm1(-rate_per_year * np.maximum(years, 0.0))
    return np.where(is_new, 1.0 - (1.0 - at_once) * (1.0 - in_time), in_time)


def rate_learned(
    usual_per_year: Floats, weight_years: Floats, found: Ids, years: Floats
) -> Floats:
    """Return a kind's rate with this site's own count: the mean of gamma and Poisson.

    ``weight_years`` is how many years of experience the usual rate stands for.
    """
    return (usual_per_year * weight_years + found) / (weight_years + years)
