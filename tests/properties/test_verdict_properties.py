"""What must hold of verdicts and boundaries whatever was read."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from jointmap.acceptance import judge
from jointmap.register.codes import (
    Indication,
    Layout,
    Purpose,
    Scope,
    Side,
    Stage,
    Verdict,
)
from jointmap.register.paper_states import Counting, PaperState, counting_of
from jointmap.sections import boundary_states, electrical_groups, evidence, loops
from jointmap.sections import test_groups as groups_of
from jointmap.tables import METHODS
from jointmap.units import accepted, read_quantity, to_si
from tests.judging_samples import (
    DEFAULT,
    ON,
    boundaries_of,
    joints_of,
    judged,
    limits_of,
    paths_of,
    readings,
)

LIMITS = limits_of(*DEFAULT)
# How much a verdict claims for isolation; what cannot decide claims no more than doubt.
RANK = {
    Verdict.SHORTED: 0,
    Verdict.DOUBTFUL: 1,
    Verdict.INCONCLUSIVE: 1,
    Verdict.ISOLATING: 2,
}
ohms = st.floats(0, 1e12)
volts = st.integers(-3000, 3000).map(lambda n: n / 1000)


def ranks(tests):
    return [RANK[list(Verdict)[v]] for v in judge(tests, LIMITS).verdict]


def choice(family):
    return st.sampled_from(list(family))


@st.composite
def circumstances(draw, method):
    """Everything about a reading but its numbers."""
    fit = next(m for m in METHODS if m.code == method)
    return {
        "method": method,
        "scope": Scope(draw(st.sampled_from(fit.scopes))),
        "stage": draw(choice(Stage)),
        "purpose": draw(choice(Purpose)),
        "layout": draw(choice(Layout)),
        "side": draw(choice(Side)),
        "hangs_free": draw(st.booleans()),
        "a_has_current": draw(st.booleans()),
        "b_has_current": draw(st.booleans()),
        "reading_bound": draw(st.sampled_from([-1, 0, 1])),
        "interrupted_side": Side.A,
        "sources_named": True,
        "geometry": 0,
        "stud": 1,
    }


RESISTANCES = st.sampled_from(
    ["insulation-resistance", "joint-resistance", "ohmmeter", "stud-resistance"]
).flatmap(circumstances)


@given(RESISTANCES, ohms, ohms)
def test_more_ohms_never_make_it_worse(values, one, other):
    pair = readings(2, **values, reading_ohm=sorted([one, other]))
    worse, better = ranks(pair)
    assert worse <= better


@given(
    circumstances("potential-difference"),
    volts,
    st.lists(volts, min_size=2, max_size=2),
)
def test_a_larger_difference_never_makes_it_worse(values, side_a, gaps):
    # Towards the negative: what no metal shows by itself is doubted.
    small, large = sorted(abs(g) for g in gaps)
    side_a = -abs(side_a) - 0.1
    side_b = [side_a - small, side_a - large]
    worse, better = ranks(readings(2, **values, a_on_volt=side_a, b_on_volt=side_b))
    assert worse <= better


@given(
    circumstances("potential-shift"),
    st.integers(1, 500),
    st.tuples(*[st.integers(-500, 500)] * 2),
)
def test_a_far_side_that_follows_less_never_makes_it_worse(values, near, far):
    # Up to what a short can do: a far side that moves far more was written crosswise,
    # and one that goes the other way by over half the near step has lost a minus.
    more, less = sorted((max(-(near // 2), min(f, near)) for f in far), reverse=True)
    on = [-0.8 - more / 1000, -0.8 - less / 1000]
    both = readings(
        2, **values, a_on_volt=-0.8 - near / 1000, a_off_volt=-0.8, b_on_volt=on,
        b_off_volt=-0.8,
    )  # fmt: skip
    worse, better = ranks(both)
    assert worse <= better


@given(circumstances("span-current"), st.tuples(*[st.floats(-0.5, 10.5)] * 2))
def test_less_leakage_never_makes_it_worse(values, spans):
    more, less = sorted(spans, reverse=True)
    worse, better = ranks(
        readings(
            2, **values, test_current_ampere=10.0, span_current_ampere=[more, less]
        )
    )
    assert worse <= better


@st.composite
def many_tests(draw):
    count = draw(st.integers(1, 12))
    paper = st.integers(0, len(PaperState) * len(Counting) - 1)

    def column(values):
        return draw(st.lists(values, min_size=count, max_size=count))

    return readings(
        count,
        method=column(st.sampled_from([m.code for m in METHODS])),
        scope=column(choice(Scope)),
        stage=column(choice(Stage)),
        purpose=column(choice(Purpose)),
        layout=column(choice(Layout)),
        side=column(choice(Side)),
        indication=column(choice(Indication)),
        reading_ohm=column(ohms),
        a_on_volt=column(volts),
        a_off_volt=column(volts),
        b_on_volt=column(volts),
        b_off_volt=column(volts),
        interrupted_side=column(choice(Side)),
        sources_named=column(st.booleans()),
        ac_volt=column(st.floats(0, 30)),
        person_paper=column(paper),
        instrument_paper=column(paper),
        leads_proven=column(st.sampled_from([-1, 0, 1])),
    )


@given(many_tests(), st.randoms(use_true_random=False))
def test_the_order_of_readings_does_not_matter(tests, chance):
    order = list(range(len(tests)))
    chance.shuffle(order)
    turned = judge(tests.take(np.array(order)), LIMITS)
    straight = judge(tests, LIMITS).take(np.array(order))
    for name in ("verdict", "reason", "limit_id", "counts", "tells_device"):
        assert (getattr(turned, name) == getattr(straight, name)).all()


@given(many_tests())
def test_what_may_move_a_date_was_decided_by_a_fit_person_and_instrument(tests):
    found = judge(tests, LIMITS)
    for paper in (tests.person_paper, tests.instrument_paper):
        assert not (found.counts & (counting_of(paper) == Counting.NOT)).any()
    assert not (found.counts & (tests.leads_proven == 0)).any()
    stop = (tests.ac_volt >= 15) & ~np.isin(tests.method, [15, 16])
    assert not (found.counts & stop).any()


LINKS = st.lists(
    st.tuples(st.integers(1, 9), st.integers(1, 9), st.booleans()), max_size=20
)
IDS = np.arange(1, 10)


def columns(links):
    a, b, joined = (np.array(c) for c in zip(*links, strict=True))
    return a, b, joined.astype(bool)


@given(LINKS.filter(len))
def test_electrical_groups_partition_the_structures(links):
    a, b, joined = columns(links)
    groups = electrical_groups(IDS, a, b, joined)
    assert (groups <= IDS).all()
    assert (groups[groups - 1] == groups).all()
    assert (groups[a[joined] - 1] == groups[b[joined] - 1]).all()


@given(LINKS.filter(len), st.integers(0, 19))
def test_closing_a_boundary_never_makes_more_groups(links, place):
    a, b, joined = columns(links)
    before = len(np.unique(electrical_groups(IDS, a, b, joined)))
    joined[place % len(joined)] = True
    after = len(np.unique(electrical_groups(IDS, a, b, joined)))
    assert before - 1 <= after <= before


@given(LINKS.filter(len))
def test_loops_against_every_simple_way_round(links):
    import networkx as nx

    a, b, _ = columns([link for link in links if link[0] != link[1]] or [(1, 2, True)])
    label = loops(a, b)
    # Each link is split in two, so that parallel links stay apart.
    graph = nx.Graph()
    for place, (one, other) in enumerate(zip(a.tolist(), b.tolist(), strict=True)):
        graph.add_edge(one, f"link {place}")
        graph.add_edge(f"link {place}", other)
    for part in nx.biconnected_components(graph):
        inside = [int(n.split()[1]) for n in part if isinstance(n, str)]
        whole = [p for p in inside if {a[p], b[p]} <= part]
        assert len(set(label[whole].tolist())) <= 1
    bridges = {n for edge in nx.bridges(graph) for n in edge if isinstance(n, str)}
    for name in bridges:
        assert (label == label[int(name.split()[1])]).sum() == 1


HISTORY = st.lists(
    st.tuples(
        st.integers(0, 5),
        st.integers(1, 4),
        st.sampled_from(list(Verdict)),
        st.booleans(),
    ),
    max_size=10,
)


@given(HISTORY)
def test_a_shorted_joint_has_a_device_reading(history):
    joints = joints_of(4, x_metre=[0.0, 10.0, 20.0, 900.0])
    tests = readings(
        len(history),
        method=["radio-frequency" if d else "potential-shift" for *_, d in history],
        joint_id=[joint for _, joint, _, _ in history],
        tested_on=[ON - np.timedelta64(9 - day, "D") for day, *_ in history],
    )
    words = judged([v for _, _, v, _ in history], [d for *_, d in history])
    found = evidence(joints, tests, words, groups_of(joints, 50.0), 50.0)
    assert (found.of_device | (found.verdict != 2)).all()
    order = np.arange(len(history))[::-1]
    site = (boundaries_of(), joints, paths_of())
    turned = boundary_states(*site, tests.take(order), words.take(order), ON, seen=None)
    straight = boundary_states(*site, tests, words, ON)
    for name in ("state", "reason", "suspects"):
        assert getattr(turned, name).tolist() == getattr(straight, name).tolist()


@given(st.sampled_from(["voltage", "torque", "resistance", "length"]), st.data())
def test_a_quantity_keeps_its_value_in_every_unit(quantity, data):
    unit = data.draw(st.sampled_from(accepted(quantity)))
    number = data.draw(st.integers(-10_000, 10_000)) / 8
    found = read_quantity(f"{number} {unit}", quantity)
    assert found.bound == 0
    assert found.value == to_si(number, unit, quantity)
    assert (found.value > 0) == (number > 0)
