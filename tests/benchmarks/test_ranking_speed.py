"""Speed of ranking: as many shorted boundaries as no site will ever have."""

import time

import numpy as np
import pytest

from jointmap.register.codes import Verdict
from jointmap.sections import BoundaryStates, Suspects, chances
from tests.benchmarks.baseline import idle
from tests.judging_samples import table

pytestmark = pytest.mark.benchmark
BOUNDARIES, EACH = 100_000, 5


def test_half_a_million_suspects_are_ranked_in_two_seconds():
    ids = np.arange(1, BOUNDARIES + 1)
    states = table(
        BoundaryStates,
        BOUNDARIES,
        {
            "boundary_id": ids,
            "structure_a_id": 2 * ids,
            "structure_b_id": 2 * ids + 1,
            "state": Verdict.SHORTED.code,
        },
    )
    own = np.repeat(ids, EACH)
    who = table(Suspects, len(own), {"boundary_id": own, "through_boundary_id": own})
    prior = np.full(len(own), 0.02)
    start = time.process_time()
    found = chances(who, states, prior, np.full(BOUNDARIES, 0.01), np.ones(len(own)))
    seconds = time.process_time() - start
    total = np.bincount(own, found.suspect)[1:] + found.boundary.none_of_these
    assert total == pytest.approx(np.ones(BOUNDARIES))
    assert idle(seconds) <= 2.0
