"""Checks of temperature against what the materials and the kit stand."""

from collections.abc import Callable

import numpy as np

from jointmap.assembly.fitting_columns import FittingColumns
from jointmap.assembly.found import Asked, Found, within
from jointmap.assembly.table_columns import column
from jointmap.assembly.texts import NOT_NAMED
from jointmap.register.columns import Ids
from jointmap.tables.materials import ISOLATING_MATERIALS

_DEGREES = column([m.temperature_degc for m in ISOLATING_MATERIALS], 1.0)
_CITATIONS = np.array(
    [*(m.citation for m in ISOLATING_MATERIALS), "", ""], dtype=object
)


def kit_temperature(rows: FittingColumns) -> Found:
    """Whether the service is no hotter than the kit's rating."""
    service = rows.service_degc
    asked = Asked(value=service, high=rows.rated_degc, applies=~np.isnan(service))
    return within("kit_temperature", asked, "degc", "the kit's own rating")


def material_check(part: str) -> Callable[[FittingColumns], Found]:
    """Return the check of one part's material: gasket, sleeve or washer."""

    def check(rows: FittingColumns) -> Found:
        """Whether this part's material stands the service temperature."""
        material: Ids = getattr(rows, f"{part}_material")
        limits = _DEGREES[material]
        asked = Asked(
            value=rows.service_degc,
            high=limits,
            applies=~np.isnan(rows.service_degc),
            is_listed=~np.isnan(limits) | (material == NOT_NAMED),
            more={"source": _CITATIONS[material]},
        )
        return within(f"{part}_temperature", asked, "degc", "")

    return check
