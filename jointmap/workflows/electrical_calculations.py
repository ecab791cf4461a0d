"""The electrical calculations by name."""

from collections.abc import Mapping

import numpy as np

from jointmap.acceptance import kit_resistance
from jointmap.acceptance.formulas_fluid import (
    column_current,
    column_resistance,
    end_resistance,
    iron_lost,
    lined_length,
)
from jointmap.acceptance.formulas_joint import (
    beside_earth,
    four_lead_resistance,
    joint_beside_earth,
    ohmmeter_shows,
)
from jointmap.acceptance.formulas_pipe import (
    HANDBOOK_DENSITY,
    leak_share,
    least_leak_share,
    pipe_mass,
    pipe_resistance,
    span_current,
    span_factor,
)
from jointmap.acceptance.formulas_potential import (
    at_25_degrees,
    shift_ratio,
    to_copper_sulfate,
)
from jointmap.acceptance.sound import refuse_unless_positive, refused
from jointmap.tables.electrodes import ELECTRODES
from jointmap.workflows.calculations import (
    Calculation,
    Cited,
    Input,
    ampere,
    length,
    ohm,
    only,
    resistivity,
    volt,
)

_MASS = Input(name="mass", quantity="mass per length")
_PER_METRE = Input(name="resistance", quantity="resistance per length")
_FACTOR = Input(name="factor", quantity="current per voltage")
_DENSITY = Input(
    name="density",
    quantity="density",
    usual=f"{HANDBOOK_DENSITY:.3f} kg/m3",
)
_DEGC = Input(name="temperature", quantity="temperature")
_GEOMETRY = Input(name="geometry", words=("between", "beyond"))
_ELECTRODE = Input(name="electrode", words=tuple(ELECTRODES))
_STUDS = Input(name="studs", quantity="ratio")
DERIVED: Cited = {"source": "derived", "mark": "owner's choice"}
COURSE: Cited = {"source": "cp-tester-manual", "mark": "seen"}
_FIXED = "Fittings, valves or joints inside the span void the result."


def _leak(
    *,
    factor: float,
    on: float,
    off: float,
    test_current: float,
    geometry: str,
    resolution: float,
) -> Mapping[str, float]:
    return {
        "crossing": leak_share(factor, on, off, test_current, geometry),
        "least that can be shown": least_leak_share(factor, resolution, test_current),
    }


def _shift(**given: float) -> Mapping[str, float]:
    found = shift_ratio(**given)
    return {
        "near shift": found.near,
        "far shift": found.far,
        "ratio": found.ratio,
        "effectiveness": found.effectiveness,
    }


def _ohmmeter(**given: float) -> Mapping[str, float]:
    found = ohmmeter_shows(**given)
    return {"one way": found.one_way, "other way": found.other_way}


def _flange(*, gasket: float, stud: float, studs: float) -> Mapping[str, float]:
    refuse_unless_positive(gasket=gasket, stud=stud, studs=studs)
    if studs != int(studs):
        raise refused("whole", name="studs", value=studs)
    return {"resistance": kit_resistance(gasket, np.full(int(studs), stud))}


def _column(
    *, voltage: float, resistivity: float, length: float, bore: float
) -> Mapping[str, float]:
    current = column_current(voltage, resistivity, length, bore)
    return {
        "resistance": column_resistance(resistivity, length, bore),
        "end term, rough": end_resistance(resistivity, bore),
        "current": current,
        "iron lost in a year": iron_lost(current),
    }


PIPE: dict[str, Calculation] = {
    "pipe-mass": Calculation(
        title="Mass per length of steel pipe",
        formula="m = 0.0246615 (D - t) t   (kg/m, mm)",
        inputs=(length("outside_diameter"), length("wall")),
        results={"mass": "kilogram_per_metre"},
        work=only("mass", pipe_mass),
        source="asme-b36-10m",
        mark="from memory",
    ),
    "pipe-resistance": Calculation(
        title="Resistance per length of steel pipe",
        formula="R' = rho density / m;  16.061 rho / w in uohm/ft, uohm·cm, lb/ft",
        inputs=(_MASS, resistivity("18 uohm·cm"), _DENSITY),
        results={"resistance": "ohm_per_metre"},
        work=only("resistance", pipe_resistance),
        says=(
            "The usual density is the one that the printed constant 16.061 answers to;"
            " the printed 489 lb/ft3 gives 0.11 % less.",
        ),
        clause="table 5.3, note B",
        **COURSE,
    ),
    "span-current": Calculation(
        title="Current in a two-wire span of pipe",
        formula="I = dV / (R' L)",
        inputs=(volt("drop"), _PER_METRE, length("length")),
        results={"current": "ampere"},
        work=only("current", span_current),
        says=("Positive: it flows from the + lead to the - lead.", _FIXED),
        clause="5:17 to 5:22",
        **COURSE,
    ),
    "span-factor": Calculation(
        title="Factor of a calibrated four-wire span",
        formula="K = I_cal / (E_on - E_off)",
        inputs=(ampere("calibration_current"), volt("on"), volt("off")),
        results={"factor": "ampere_per_volt"},
        work=only("factor", span_factor),
        says=(
            "Keep it unrounded. Calibrate again where the pipe's temperature changes.",
            _FIXED,
        ),
        clause="5:17 to 5:22",
        **COURSE,
    ),
    "leakage": Calculation(
        title="Share of a test current that crosses a joint",
        formula="between: K (E_on - E_off) / I_t;  beyond: 1 - K (E_on - E_off) / I_t",
        inputs=(
            _FACTOR,
            volt("on"),
            volt("off"),
            ampere("test_current"),
            _GEOMETRY,
            volt("resolution", "0.1 mV"),
        ),
        results={
            "crossing": "percent_fine",
            "least that can be shown": "percent_fine",
        },
        work=_leak,
        says=(
            "Below the least that can be shown, report it as less than that.",
            "A share with no metal beside the joint may be conductive fluid inside.",
        ),
        source="trade",
        mark="from memory",
    ),
}

JOINT: dict[str, Calculation] = {
    "shift-ratio": Calculation(
        title="Potential shifts under interrupted current",
        formula="s = (far_on - far_off) / (near_on - near_off);  effectiveness = 1 - s",
        inputs=(
            volt("near_on"),
            volt("near_off"),
            volt("far_on"),
            volt("far_off"),
            volt("guard", "50 mV"),
        ),
        results={
            "near shift": "volt",
            "far shift": "volt",
            "ratio": "ratio",
            "effectiveness": "percent_fine",
        },
        work=_shift,
        says=(
            "Above 100 %: the far side went the other way; perhaps interference.",
            "The guard is the owner's choice.",
        ),
        source="trade",
        mark="from memory",
    ),
    "four-lead-resistance": Calculation(
        title="Resistance of an installed joint by four leads",
        formula="R = (V_on - V_off) / (I_on - I_off)",
        inputs=(
            volt("on_volt"),
            volt("off_volt"),
            ampere("on_current"),
            ampere("off_current", "0 A"),
        ),
        results={"resistance": "ohm"},
        work=only("resistance", four_lead_resistance),
        says=("The ground is beside it: the joint itself is at least this.",),
        source="mil-hdbk-1004-10",
        mark="seen",
    ),
    "parallel-earth": Calculation(
        title="What is read across a joint with the ground beside it",
        formula="1/R = 1/R_joint + 1/R_earth",
        inputs=(ohm("joint"), ohm("earth")),
        results={"reading": "ohm"},
        work=only("reading", beside_earth),
        says=("Never hold an installed reading against a limit in megohms.",),
        **DERIVED,
    ),
    "joint-beside-earth": Calculation(
        title="A joint's own resistance from a reading with the ground beside it",
        formula="1/R_joint = 1/R - 1/R_earth",
        inputs=(ohm("measured"), ohm("earth")),
        results={"joint": "ohm"},
        work=only("joint", joint_beside_earth),
        **DERIVED,
    ),
    "ohmmeter": Calculation(
        title="What an ohmmeter shows where a voltage stands across the joint",
        formula="R + E/I_meter one way, R - E/I_meter the other",
        inputs=(ohm("resistance"), volt("standing"), ampere("meter_current")),
        results={"one way": "ohm", "other way": "ohm"},
        work=_ohmmeter,
        says=("So an ohmmeter decides only where nothing runs beside the joint.",),
        **DERIVED,
    ),
    "flange": Calculation(
        title="Resistance of a flange kit from its parts",
        formula="1/R = 1/R_gasket + n / R_stud",
        inputs=(ohm("gasket"), ohm("stud"), _STUDS),
        results={"resistance": "ohm"},
        work=_flange,
        says=("A flange can be under 1 Mohm with no bad part.",),
        **DERIVED,
    ),
}

FLUID: dict[str, Calculation] = {
    "fluid-column": Calculation(
        title="Conductive fluid that bridges a joint inside",
        formula="R = rho L / A;  I = V / R",
        inputs=(volt("voltage"), resistivity(), length("length"), length("bore")),
        results={
            "resistance": "ohm",
            "end term, rough": "ohm",
            "current": "ampere",
            "iron lost in a year": "kilogram",
        },
        work=_column,
        says=(
            "Least resistance, most current: the ends add to it (Freiman 2002,"
            " abstract seen), so it is safe for choosing a length.",
            "The iron goes from bare pipe just past the lining, on the more positive,"
            " unprotected side.",
        ),
        **DERIVED,
    ),
    "lined-length": Calculation(
        title="Isolated length that keeps the current inside to a limit",
        formula="L = V A / (rho I_max)",
        inputs=(
            volt("voltage"),
            resistivity(),
            length("bore"),
            ampere("most_current"),
        ),
        results={"length": "metre"},
        work=only("length", lined_length),
        says=("Lining on the protected side, or on both, is the usual advice.",),
        **DERIVED,
    ),
}

POTENTIAL: dict[str, Calculation] = {
    "electrode": Calculation(
        title="A potential as a copper sulfate electrode would show it",
        formula="E(CSE) = E + U_ref - U_CSE",
        inputs=(volt("reading"), _ELECTRODE),
        results={"against copper sulfate": "volt_fine"},
        work=only("against copper sulfate", to_copper_sulfate),
        says=(
            "Zinc may be 100 mV off: for trends only.",
            "A difference of two readings with one unmoved electrode needs none of"
            " this.",
        ),
        source="electrode-pages",
        mark="seen",
    ),
    "electrode-temperature": Calculation(
        title="A copper sulfate potential as read at 25 °C",
        formula="V_25 = V + 0.0009 (T - 25)",
        inputs=(volt("reading"), _DEGC),
        results={"at 25 °C": "volt_fine"},
        work=only("at 25 °C", at_25_degrees),
        source="electrode-pages",
        mark="seen",
    ),
    "ac-gate": Calculation(
        title="The most AC of a visit against the limit",
        formula="stop if max(side A, side B, between) >= limit",
        inputs=(volt("side_a"), volt("side_b"), volt("between"), volt("limit", "15 V")),
        results={"most": "volt", "stop": "ratio"},
        work=lambda *, side_a, side_b, between, limit: {
            "most": max(side_a, side_b, between),
            "stop": float(max(side_a, side_b, between) >= limit),
        },
        says=(
            "Read AC first, hands off the metal. Stop 1: no DC reading, no contact;"
            " call a qualified person. Stop 0: go on.",
        ),
        source="sp0177",
        clause="5.2.1.1",
        mark="seen",
    ),
}
