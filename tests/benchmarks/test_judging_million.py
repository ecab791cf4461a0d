"""Speed of verdicts, groups and structures: ratios in one run, and the named sizes."""

import networkx as nx
import numpy as np
import pytest

from jointmap.acceptance import judge
from jointmap.register.codes import Side, Stage
from jointmap.sections import electrical_groups
from jointmap.sections import test_groups as groups_of
from jointmap.units import read_quantity
from tests.benchmarks.baseline import idle
from tests.cpu_time import seconds
from tests.judging_samples import DEFAULT, joints_of, limits_of, readings

pytestmark = pytest.mark.benchmark
MILLION = 1_000_000


def spread(count, low, high):
    """Numbers between two bounds, the same each time, in no order."""
    return low + (np.arange(count) * 2654435761 % 2**32) / 2**32 * (high - low)


def test_a_million_tests_are_judged_in_two_seconds():
    tests = readings(
        MILLION,
        method=np.arange(MILLION) % 17,
        stage=Stage.ROUTINE,
        purpose=np.arange(MILLION) % 8,
        side=np.arange(MILLION) % 2,
        reading_ohm=10 ** spread(MILLION, -3, 9),
        a_on_volt=spread(MILLION, -1.5, -0.5),
        a_off_volt=spread(MILLION, -1.2, -0.5),
        b_on_volt=spread(MILLION, -0.9, -0.5),
        b_off_volt=spread(MILLION, -0.8, -0.5),
        interrupted_side=Side.A,
        sources_named=True,
    )
    took, found = seconds(judge, tests, limits_of(*DEFAULT))
    assert len(found) == MILLION
    assert idle(took) <= 2.0


def test_groups_of_a_million_joints():
    joints = joints_of(
        MILLION,
        boundary_id=np.arange(MILLION) // 4 + 1,
        x_metre=spread(MILLION, 0, 60_000),
        y_metre=np.arange(MILLION) % 4 * 10.0,
    )
    took, groups = seconds(groups_of, joints, 50.0)
    assert len(groups) == MILLION
    assert idle(took) <= 20.0


def test_groups_of_one_boundary_in_town():
    number = np.arange(200_000)
    joints = joints_of(
        len(number), x_metre=number % 447 * 14.0, y_metre=number // 447 * 30.0
    )
    runs = [seconds(groups_of, joints, 50.0) for _ in range(3)]
    took, groups = min(runs, key=lambda run: run[0])
    assert len(np.unique(groups)) == 25_088
    assert idle(took) <= 0.4


def test_structures_of_a_million_joints_against_a_graph_library():
    ids = np.arange(1, 200_001)
    a, b = (spread(MILLION, 1, 200_000).astype(int), np.arange(MILLION) % 200_000 + 1)
    joined = np.arange(MILLION) % 10 == 0
    electrical_groups(ids[:2], ids[:1], ids[1:2], joined[:1])  # loads its library
    took, groups = seconds(electrical_groups, ids, a, b, joined)
    assert idle(took) <= 1.0

    def by_library():
        graph = nx.Graph()
        graph.add_nodes_from(ids.tolist())
        graph.add_edges_from(zip(a[joined].tolist(), b[joined].tolist(), strict=True))
        return list(nx.connected_components(graph))

    slow, parts = seconds(by_library)
    assert len(parts) == len(np.unique(groups))
    assert slow >= 20 * took


def test_three_hundred_thousand_quantities_a_second():
    texts = [f"{n} mV" for n in range(300_000)]
    took, _ = seconds(lambda: [read_quantity(text, "voltage") for text in texts])
    assert idle(took) <= 1.0
