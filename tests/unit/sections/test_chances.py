"""Chances of suspects: against exhaustive Bayes, and what must always hold."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jointmap.register.codes import Verdict
from jointmap.sections import (
    BoundaryStates,
    Suspects,
    bits_told,
    came_to_join,
    chances,
    rate_learned,
)
from jointmap.sections.chances import MOST_IN_A_LOOP
from tests.judging_samples import table
from tests.sizes import examples

TRIANGLE = [(1, 2), (2, 3), (1, 3)]


def states_of(pairs, on_purpose=()):
    count = len(pairs)
    purpose = [b in on_purpose for b in range(count)]
    return table(
        BoundaryStates,
        count,
        {
            "boundary_id": np.arange(1, count + 1),
            "structure_a_id": [a for a, _ in pairs],
            "structure_b_id": [b for _, b in pairs],
            "state": [
                (Verdict.INCONCLUSIVE if p else Verdict.SHORTED).code for p in purpose
            ],
            "joined_on_purpose": purpose,
        },
    )


def suspects_of(boundaries, through=None):
    count = len(boundaries)
    return table(
        Suspects,
        count,
        {
            "boundary_id": boundaries,
            "joint_id": np.arange(1, count + 1),
            "through_boundary_id": through or boundaries,
        },
    )


def exhaustive(pairs, links, prior, none, finding, on_purpose):
    """Weigh every set of joining links; return P(direct) and P(link | one own)."""
    count = len(pairs)
    owners = [*links, *range(1, count + 1)]
    chance = [*prior, *none]
    ratio = [*finding, *([1.0] * count)]
    whole, direct = 0.0, np.zeros(count)
    single = np.zeros(len(owners))
    for world in product([0, 1], repeat=len(owners)):
        weight = np.prod(
            [
                p * r if w else 1 - p
                for w, p, r in zip(world, chance, ratio, strict=True)
            ]
        )
        joined = [
            b in on_purpose
            or any(w and o == b + 1 for w, o in zip(world, owners, strict=True))
            for b in range(count)
        ]
        reach = {n: {n} for pair in pairs for n in pair}
        for _ in pairs:
            for (a, b), j in zip(pairs, joined, strict=True):
                if j:
                    both = reach[a] | reach[b]
                    for n in both:
                        reach[n] = both | reach[n]
        if not all(b in reach[a] for a, b in pairs):
            continue
        whole += weight
        direct += weight * np.array(joined)
        for place, (w, owner) in enumerate(zip(world, owners, strict=True)):
            alone = sum(x for x, o in zip(world, owners, strict=True) if o == owner)
            if w and alone == 1:
                single[place] += weight
    for b in range(1, count + 1):
        mine = [p for p, o in enumerate(owners) if o == b]
        single[mine] /= single[mine].sum()
    return direct / whole, single


cases = st.tuples(
    st.sampled_from([(TRIANGLE, ()), (TRIANGLE, (2,)), ([(1, 2)], ()),
                     ([(1, 2), (1, 2)], ()), ([(1, 2), (3, 4)], ())]),
    st.lists(st.tuples(st.integers(0, 2), st.floats(0.001, 0.6),
                       st.sampled_from([1.0, 0.04, 190.0])), max_size=5),
    st.lists(st.floats(0.001, 0.3), min_size=3, max_size=3),
)  # fmt: skip


@examples(60)
@given(cases)
def test_as_exhaustive_bayes_has_it(case):
    (pairs, on_purpose), rows, none = case
    count = len(pairs)
    links = [owner % count + 1 for owner, _, _ in rows]
    prior, finding = [p for _, p, _ in rows], [f for _, _, f in rows]
    none = none[:count]
    states = states_of(pairs, on_purpose)
    found = chances(
        suspects_of(links), states, np.array(prior), np.array(none), np.array(finding)
    )
    direct, single = exhaustive(pairs, links, prior, none, finding, on_purpose)
    asked = [b for b in range(count) if b not in on_purpose]
    assert found.boundary.boundary_id.tolist() == [b + 1 for b in asked]
    assert 1 - found.boundary.way_round == pytest.approx(direct[asked], abs=1e-6)
    for place, owner in enumerate(links):
        if owner - 1 in asked:
            expected = direct[owner - 1] * single[place]
            assert found.suspect[place] == pytest.approx(expected, abs=1e-6)
    for row, b in enumerate(asked):
        mine = [found.suspect[p] for p, owner in enumerate(links) if owner == b + 1]
        rest = found.boundary.none_of_these[row] + found.boundary.way_round[row]
        assert sum(mine) + rest == pytest.approx(1.0)


def test_a_suspect_of_a_way_round_is_told_with_its_own_boundary():
    links, through = [1, 1, 2, 2, 3, 3], [1, 2, 2, 3, 3, 1]
    found = chances(
        suspects_of(links, through),
        states_of(TRIANGLE),
        np.full(6, 0.1),
        np.full(3, 0.01),
        np.ones(6),
    )
    assert np.isnan(found.suspect).tolist() == [False, True] * 3


def test_three_alike_in_a_triangle_are_two_thirds_direct():
    # Two of three explain all readings; three at once is rare.
    found = chances(
        suspects_of([1, 2, 3]),
        states_of(TRIANGLE),
        np.full(3, 1e-4),
        np.full(3, 1e-6),
        np.ones(3),
    )
    assert found.boundary.way_round == pytest.approx([1 / 3] * 3, abs=1e-3)


def test_a_loop_too_large_is_said_to_be_so():
    count = MOST_IN_A_LOOP + 1
    ring = [(n, n % count + 1) for n in range(1, count + 1)]
    found = chances(
        suspects_of([1]), states_of(ring), np.array([0.1]), np.full(count, 0.01),
        np.ones(1),
    )  # fmt: skip
    assert np.isnan(found.boundary.way_round).all()
    assert found.suspect[0] + found.boundary.none_of_these[0] == pytest.approx(1.0)


def test_no_boundary_shorted_no_chances():
    states = states_of([(1, 2)], on_purpose=(0,))
    states.joined_on_purpose[:] = False
    found = chances(suspects_of([]), states, np.zeros(0), np.full(1, 0.01), np.zeros(0))
    assert len(found.boundary) == 0


def test_a_check_that_cannot_tell_tells_nothing_and_a_sure_one_all():
    chance = np.array([0.5, 0.5, 0.25])
    told = bits_told(chance, np.array([0.3, 1.0, 1.0]), np.array([0.3, 0.0, 0.0]))
    assert told == pytest.approx([0.0, 1.0, 0.811278], abs=1e-6)


def test_what_was_fitted_since_may_have_joined_at_once():
    found = came_to_join(
        np.array([0.01, 0.01]),
        np.array([1.0, 1.0]),
        np.array([0.2, 0.2]),
        np.array([False, True]),
    )
    assert found == pytest.approx([0.00995017, 0.2079601], abs=1e-6)


def test_a_sites_own_count_weighs_in():
    found = rate_learned(
        np.array([0.01, 0.01]),
        np.array([100.0, 100.0]),
        np.array([0, 7]),
        np.array([0.0, 100.0]),
    )
    assert found == pytest.approx([0.01, 0.04])
