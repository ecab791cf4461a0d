"""Calculations of the resistance of a joint, by name."""

from collections.abc import Mapping

import numpy as np

from jointmap.acceptance import kit_resistance
from jointmap.acceptance.formulas_joint import (
    beside_earth,
    four_lead_resistance,
    joint_beside_earth,
    ohmmeter_shows,
)
from jointmap.acceptance.sound import refuse_unless_positive, refused
from jointmap.desk.calculation import (
    DERIVED,
    Calculation,
    Input,
    ampere,
    ohm,
    only,
    volt,
)

_STUDS = Input(name="studs", quantity="ratio")
MOST_STUDS = 200  # as in the register


def _ohmmeter(**given: float) -> Mapping[str, float]:
    found = ohmmeter_shows(**given)
    return {"one way": found.one_way, "other way": found.other_way}


def _flange(*, gasket: float, stud: float, studs: float) -> Mapping[str, float]:
    refuse_unless_positive(gasket=gasket, stud=stud, studs=studs)
    if studs != int(studs):
        raise refused("whole", name="studs", value=studs)
    if studs > MOST_STUDS:
        raise refused("too_many", value=studs, most=MOST_STUDS)
    return {"resistance": kit_resistance(gasket, np.full(int(studs), stud))}


JOINT: dict[str, Calculation] = {
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
