"""What is believed of each joint after its tests, when no test is certain.

Between tests a joint may fail unseen; each verdict moves the belief by Bayes' rule with
the method's error table; a renewal makes the joint sound again and keeps what was
learned of its place. With perfect tests this is the interval-censored likelihood.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from jointmap.hazard.nodes import GRID_NODES, Nodes, nodes_of
from jointmap.register.columns import Codes, Flags, Floats, Ids, Table

# Joints handled at a time: their nodes stay in the processor's own memory.
CHUNK = 8_192


@dataclass(frozen=True, slots=True)
class HazardEvents(Table):
    """One row per test or renewal, sorted by joint, then time."""

    row: Ids  # place of the joint
    hazard: Floats  # at multiplier 1, since the event before (or the start)
    given_failed: Floats  # chance of the verdict if the joint has failed; 1: no verdict
    given_sound: Floats
    renews: Flags  # sound afterwards


@dataclass(frozen=True, slots=True)
class Belief:
    """Of some joints, per node (first axis) and joint (second axis)."""

    sound: Floats  # chance of being sound, given the node
    weight: Floats  # of the node; sums to 1 over nodes
    log_likelihood: Floats  # per joint
    failed_before: Floats  # per event in the order given: chance of failure just before

    @property
    def failed(self) -> Floats:
        """Chance of having failed, per joint."""
        return np.asarray(1.0 - np.einsum("kn,kn->n", self.weight, self.sound))


def belief_after(events: HazardEvents, rows: int, nodes: Nodes) -> Belief:
    """Return the belief of joints 0 to ``rows`` that share ``nodes``.

    Joints stand sorted by their number of events inside, so that those which still have
    an event of a given rank are one slice.
    """
    count = np.bincount(events.row, minlength=rows)
    by_count = np.argsort(-count, kind="stable")
    place = np.empty(rows, np.int64)
    place[by_count] = np.arange(rows)
    active = len(count) - np.cumsum(np.bincount(count))  # with more events than rank
    begins = np.concatenate([[0], np.cumsum(active)])
    rank = np.arange(len(events)) - (np.cumsum(count) - count)[events.row]
    at = begins[rank] + place[events.row]
    order = np.empty(len(events), np.int64)
    order[at] = np.arange(len(events))
    ranked = _Ranked(events.take(order), begins, nodes)
    sound, weight, log_likelihood, before = ranked.run(rows)
    failed_before = np.empty(len(events))
    failed_before[order] = before
    return Belief(
        np.take(sound, place, axis=1),
        np.take(weight, place, axis=1),
        log_likelihood[place],
        failed_before,
    )


@dataclass(frozen=True, slots=True)
class _Ranked:
    """Events by rank, then joint, each rank a slice of the last."""

    events: HazardEvents
    begins: Ids
    nodes: Nodes

    def run(self, rows: int) -> tuple[Floats, Floats, Floats, Floats]:
        own = self.events
        z = -self.nodes.multiplier[:, None]
        sound = np.ones((len(z), rows))
        weight = np.repeat(self.nodes.weight[:, None], rows, axis=1)
        log_likelihood = np.zeros(rows)
        before = np.empty(len(own))
        for start, stop in zip(self.begins[:-1], self.begins[1:], strict=True):
            here = slice(start, stop)
            p, w = sound[:, : stop - start], weight[:, : stop - start]
            p *= np.exp(z * own.hazard[here])
            before[here] = 1.0 - np.einsum("kn,kn->n", p, w)
            failed, good = own.given_failed[here], own.given_sound[here]
            likely = failed + p * (good - failed)
            p *= good
            p /= likely
            w *= likely
            total = w.sum(axis=0)
            w /= total
            log_likelihood[: stop - start] += np.log(total)
            p[:, own.renews[here]] = 1.0
        return sound, weight, log_likelihood, before


def beliefs(
    events: HazardEvents, likeness: Floats, grid: Codes
) -> Iterator[tuple[Ids, Ids, Belief, Nodes]]:
    """Yield, chunk by chunk, joints, their events, what is believed, its nodes.

    Parameters
    ----------
    events
        Of joints 0 to ``len(likeness)``.
    likeness
        Gamma shape of each joint's multiplier; few different values run fastest.
    grid
        Of each joint, as ``hazard_nodes.grid_needed`` has it.
    """
    values, place = np.unique(likeness, return_inverse=True)
    kinds, kind = np.unique(place * len(GRID_NODES) + grid, return_inverse=True)
    by_kind = np.argsort(kind, kind="stable")
    ends = np.cumsum(np.bincount(kind, minlength=len(kinds)))
    first = np.searchsorted(events.row, np.arange(len(likeness) + 1))
    for which, stop, size in zip(
        kinds.tolist(), ends, np.diff(ends, prepend=0), strict=True
    ):
        k, own_grid = divmod(which, len(GRID_NODES))
        nodes = nodes_of(float(values[k]), own_grid)
        step = max(1, CHUNK * 12 // len(nodes.weight))
        for start in range(stop - size, stop, step):
            joints = by_kind[start : min(stop, start + step)]
            yield _of_chunk(events, first, joints, nodes)


def _of_chunk(
    events: HazardEvents, first: Ids, joints: Ids, nodes: Nodes
) -> tuple[Ids, Ids, Belief, Nodes]:
    count = first[joints + 1] - first[joints]
    begins = np.cumsum(count) - count
    own = np.repeat(first[joints] - begins, count) + np.arange(count.sum())
    part = events.take(own)
    local = HazardEvents(
        np.repeat(np.arange(len(joints)), count),
        part.hazard,
        part.given_failed,
        part.given_sound,
        part.renews,
    )
    return joints, own, belief_after(local, len(joints), nodes), nodes
