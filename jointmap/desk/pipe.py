"""Calculations of pipe metal and of current in it, by name."""

from collections.abc import Mapping

from jointmap.acceptance.formulas_pipe import (
    HANDBOOK_DENSITY,
    calibrated_current,
    leak_share,
    least_leak_share,
    pipe_mass,
    pipe_resistance,
    span_current,
    span_factor,
)
from jointmap.desk.calculation import (
    Calculation,
    Cited,
    Input,
    ampere,
    length,
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
_GEOMETRY = Input(name="geometry", words=("between", "beyond"))
_COURSE: Cited = {"source": "cp-tester-manual", "mark": "seen"}
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
        **_COURSE,
    ),
    "span-current": Calculation(
        title="Current in a two-wire span of pipe",
        formula="I = dV / (R' L)",
        inputs=(volt("drop"), _PER_METRE, length("length")),
        results={"current": "ampere"},
        work=only("current", span_current),
        says=("Positive: it flows from the + lead to the - lead.", _FIXED),
        clause="5:17 to 5:22",
        **_COURSE,
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
        **_COURSE,
    ),
    "calibrated-span": Calculation(
        title="Current in a calibrated four-wire span",
        formula="I = K E",
        inputs=(_FACTOR, volt("reading")),
        results={"current": "ampere"},
        work=only("current", calibrated_current),
        says=("Positive: it flows from the + lead to the - lead.",),
        clause="5:17 to 5:22",
        **_COURSE,
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
