"""Devices and fitting records as hypothesis makes them: blanks, odd words, sizes."""

import datetime as dt

from hypothesis import strategies as st

from jointmap.register import Device, Installation, form_of
from jointmap.register.codes import DeviceKind, Layout

DAY = dt.date(2020, 1, 1)
TORQUES = st.floats(10.0, 50_000.0)
# The nearer to what a joint has, the more often a check is met as well as missed.
SIZE_OF_SUFFIX = {
    "_newton_metre": TORQUES,
    "_metre": st.sampled_from([0.0001, 0.0008, 0.003175, 0.038, 0.0856, 0.178, 0.273]),
    "_degc": st.floats(-20.0, 200.0),
    "_pascal": st.floats(1e6, 1e9),
    "_second": st.floats(0.0, 90_000.0),
    "_factor": st.floats(0.08, 0.4),
    "_past_nut": st.floats(-3.0, 9.0),
}
MATERIALS = st.sampled_from(
    ["", "glass-epoxy laminate", "PEEK", "nitrile rubber", "mica", "PTFE"]
)
FACES = st.sampled_from(["", "clean", "scored", "no score", "pitting repaired"])
TESTS = st.sampled_from(["", "bench", "every stud", "ohmmeter, all clear"])


def numbers(kind):
    """Return a strategy for each number of a kind of record; any may be blank."""
    names = [c.name for c in form_of(kind).columns if c.type is float]
    sizes = {n: [s for e, s in SIZE_OF_SUFFIX.items() if n.endswith(e)] for n in names}
    return {n: st.none() | found[0] for n, found in sizes.items() if found}


KITS = st.builds(
    Device,
    **{
        **numbers(Device),
        "joint_id": st.just(1),
        "fitted_on": st.just(DAY),
        "kind": st.sampled_from([*DeviceKind]),
        "layout": st.sampled_from([*Layout]),
        "nominal_size": st.sampled_from(["NPS 12", "NPS 26", "8", "", "DN 200"]),
        "pressure_class": st.sampled_from([None, 150, 900, 16]),
        "facing": st.sampled_from(["", "raised face", "ring joint"]),
        "gasket_material": MATERIALS,
        "gasket_inside_metre": st.none() | st.just(0.32385),
        "gasket_outside_metre": st.none() | st.just(0.381),
        "sleeve_material": MATERIALS,
        "washer_material": MATERIALS,
        "stud_size": st.sampled_from(["", "1-3/8", "M20", "M36x4", '3/4"', "1 1/8 in"]),
        "stud_grade": st.sampled_from(["", "B7", "A193 B7M", "8.8"]),
        "stud_count": st.none() | st.integers(1, 40),
        "lubricant_allowed": st.sampled_from(["", " ", "non-metallic paste"]),
    },
)
PAPERS = st.builds(
    Installation,
    **{
        **numbers(Installation),
        "device_id": st.just(1),
        "installed_on": st.dates(DAY, DAY + dt.timedelta(days=9)),
        "fitter_id": st.none() | st.just(1),
        "witness_id": st.none() | st.just(1),
        "torque_tool_id": st.none() | st.integers(1, 3),
        "lubricant": st.sampled_from(["copper paste", "as usual", "white paste"])
        | st.text(max_size=20).map(lambda t: t.replace("\x00", "")),
        "washer_order": st.just("nut; steel; isolating; flange")
        | st.text("nutselabgio; ", max_size=20),
        "face_a": FACES,
        "face_b": FACES,
        "tightening_scheme": st.sampled_from(
            ["", "thirds", "PCC-1 legacy", "30/60/100/100", "50/100", "ours"]
        ),
        "tests_before": TESTS,
        "tests_after": TESTS,
        "photos": st.none() | st.integers(1, 4),
    },
)
