"""Calculations of conductive fluid inside the pipe, by name."""

from collections.abc import Mapping

from jointmap.acceptance.formulas_fluid import (
    column_current,
    column_resistance,
    end_resistance,
    iron_lost,
    lined_length,
)
from jointmap.desk.calculation import (
    DERIVED,
    Calculation,
    ampere,
    length,
    only,
    resistivity,
    volt,
)


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
