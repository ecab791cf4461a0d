"""Calculations of potentials, their shifts and their electrodes, by name."""

from collections.abc import Mapping

from jointmap.acceptance.formulas_potential import (
    at_25_degrees,
    shift_ratio,
    to_copper_sulfate,
)
from jointmap.desk.calculation import Calculation, Input, only, volt
from jointmap.tables.electrodes import ELECTRODES

_DEGC = Input(name="temperature", quantity="temperature")
_ELECTRODE = Input(name="electrode", words=tuple(ELECTRODES))


def _shift(**given: float) -> Mapping[str, float]:
    found = shift_ratio(**given)
    return {
        "near shift": found.near,
        "far shift": found.far,
        "ratio": found.ratio,
        "effectiveness": found.effectiveness,
    }


POTENTIAL: dict[str, Calculation] = {
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
