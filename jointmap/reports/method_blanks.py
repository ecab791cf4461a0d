"""Which blanks a sheet needs for each test method. AC boxes stand on every sheet."""

from jointmap.reports.views_route import Blank

_POTENTIALS = (Blank("electrode", once=True), Blank("a_on", "mV"), Blank("b_on", "mV"))
_SHIFT = (
    Blank("interrupted_side", once=True),
    Blank("sources_cycling", once=True),
    Blank("sources_steady", once=True),
    Blank("electrode", once=True),
    Blank("a_on", "mV"),
    Blank("a_off", "mV"),
    Blank("b_on", "mV"),
    Blank("b_off", "mV"),
    Blank("cycles", once=True, at_end=True),
    Blank("cycle_spread", "mV", once=True, at_end=True),
)
_INDICATION = (Blank("indication"),)
_PATH = (Blank("path_state"),)

BLANKS_OF_METHOD: dict[str, tuple[Blank, ...]] = {
    "insulation-resistance": (
        Blank("test_voltage", "V", once=True),
        Blank("resistance", "Mohm"),
    ),
    "spark": _INDICATION,
    "radio-frequency": _INDICATION,
    "radio-frequency-leads": _INDICATION,
    "potential-difference": _POTENTIALS,
    "potential-shift": _SHIFT,
    "joint-resistance": (Blank("test_current", "A"), Blank("resistance", "ohm")),
    "span-current": (
        Blank("geometry", once=True),
        Blank("test_current", "A"),
        Blank("span_current", "A"),
    ),
    "hum": _INDICATION,
    "pipe-locator": _INDICATION,
    "stud-resistance": (Blank("test_voltage", "V", once=True),),
    "core-resistance": (
        Blank("test_voltage", "V", once=True),
        Blank("resistance", "Mohm"),
    ),
    "ohmmeter": (Blank("hangs_free", once=True), Blank("resistance", "ohm")),
    "surge-device-check": _PATH,
    "bond-check": _PATH,
    "look": _PATH,
    "source-output": (Blank("output_voltage", "V"), Blank("output_current", "A")),
}


def blanks_for(method: str) -> tuple[Blank, ...]:
    """Return the blanks of ``method``; a method of the owner's own gets one box."""
    return BLANKS_OF_METHOD.get(method, (Blank("reading"),))
