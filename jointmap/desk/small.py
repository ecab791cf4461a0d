"""Small calculations beside the electrical ones, by name."""

from jointmap.acceptance.formulas_small import (
    half_remaining_life,
    skin_depth,
    sleeve_room,
    touch_current,
    unseen_failure,
)
from jointmap.desk.calculation import (
    DERIVED,
    Calculation,
    Input,
    length,
    ohm,
    only,
    resistivity,
    share,
    volt,
)

_FREQUENCY = Input(name="frequency", quantity="frequency")
_RATE = Input(name="rate", quantity="rate")
_LOSS = Input(name="rate", quantity="speed")


def _time(name: str, usual: str = "") -> Input:
    return Input(name=name, quantity="time", usual=usual)


SMALL: dict[str, Calculation] = {
    "touch-current": Calculation(
        title="Current through a body at a touch voltage",
        formula="I = V / R_body",
        inputs=(volt("voltage"), ohm("body", "1000 ohm")),
        results={"current": "ampere"},
        work=only("current", touch_current),
        says=("Wet skin about 1000 ohm, dry 100 kohm: 15 mA is painful.",),
        source="cp-tester-manual",
        mark="seen",
    ),
    "skin-depth": Calculation(
        title="How deep alternating current runs in steel",
        formula="sqrt(rho / (pi f mu))",
        inputs=(
            _FREQUENCY,
            resistivity("18 uohm·cm"),
            share("permeability", "100"),
        ),
        results={"depth": "micrometre"},
        work=only("depth", skin_depth),
        says=("Why a radio-frequency test sees only the path beside it.",),
        **DERIVED,
    ),
    "sleeve-room": Calculation(
        title="Room left between stud, sleeve and hole",
        formula="(hole - stud) / 2 - sleeve wall",
        inputs=(length("hole"), length("stud"), length("sleeve_wall")),
        results={"room on each side": "micrometre"},
        work=only("room on each side", sleeve_room),
        says=("Misalignment beyond this cuts the sleeve.",),
        **DERIVED,
    ),
    "unseen-failure": Calculation(
        title="Mean chance that a hidden failure stands between tests",
        formula="C rate interval / 2 + (1 - C) rate life / 2",
        inputs=(
            _RATE,
            _time("interval"),
            share("coverage", "100 %"),
            _time("life", "20 y"),
        ),
        results={"chance": "percent_fine"},
        work=only("chance", unseen_failure),
        says=("First order, for small rates.",),
        **DERIVED,
    ),
    "half-remaining-life": Calculation(
        title="Half the time until a wall is down to its least",
        formula="min((t_actual - t_least) / rate / 2, most)",
        inputs=(
            length("actual"),
            length("least"),
            _LOSS,
            _time("most", "10 y"),
        ),
        results={"interval": "years"},
        work=only("interval", half_remaining_life),
        **DERIVED,
    ),
}
