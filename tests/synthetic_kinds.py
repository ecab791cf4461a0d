"""One block of 118 joints by boundary, and what a made-up site has in force."""

from typing import Any, NamedTuple


class Kind(NamedTuple):
    """One boundary of a block of 118 joints, as the sample has it."""

    area: str
    joints: int
    purpose: str
    structure_kind: str
    severity: str
    consequence: str
    device: str
    layout: str
    studs: int
    method: str


_JETTY = ("Jetty", "ship/shore", "ship", "normal", "A", "flange kit", "two-side", 8)
_TERMINAL = ("Terminal", "protection", "earth grid", "normal", "B", "flange kit")
_LINE = ("Line", "sectioning", "earth grid", "normal", "B", "flange kit")
_PLANT = ("Plant", "protection", "earth grid", "harsh", "B", "flange kit")
_WATER = ("Water", "dissimilar metals", "plant piping", "harsh", "B", "flange kit")
_MAINS = ("Town", "protection", "earth grid", "mild", "C", "union", "unknown", 0)
_METER = ("Meters", "service line", "house piping", "mild", "D", "union", "unknown", 0)


def _kind(joints: int, about: tuple[Any, ...], method: str, *layout: str | int) -> Kind:
    area, *rest = (*about, *layout)
    return Kind(area, joints, *rest, method)


BLOCK: tuple[Kind, ...] = (
    *(_kind(5, _JETTY, "ohmmeter") for _ in range(2)),
    *(_kind(8, _TERMINAL, "potential-shift", "one-side-a", 4) for _ in range(2)),
    *(
        _kind(n, _LINE, "potential-shift", "two-side", 12)
        for n in (3, 3, 3, 3, 3, 3, 4)
    ),
    *(_kind(n, _PLANT, "radio-frequency", "two-side", 8) for n in (6, 6, 6, 6, 5, 5)),
    *(_kind(3, _WATER, "radio-frequency", "two-side", 8) for _ in range(3)),
    *(_kind(n, _MAINS, "potential-shift") for n in (3, 4)),
    *(_kind(1, _METER, "radio-frequency") for _ in range(20)),
)
ADOPTED: tuple[tuple[str, str], ...] = (
    *(("rules", f"cfr-192.465a-{s}") for s in ("joint", "boundary")),
    ("rules", "isgott-17.5.5.2-joint"),
    ("rules", "iso-15589-1-surge-device"),
    *(
        ("rules", f"owner-{p}-{s}")
        for p in ("protection", "sectioning", "dissimilar-metals", "service-line")
        for s in ("harsh", "normal", "mild")
    ),
    ("rules", "owner-shorten-last-result-shorted"),
    ("rules", "owner-shorten-wrong-lubricant"),
    ("rules", "owner-restore"),
    ("rules", "owner-floor"),
    ("limits", "Shift guard 50 mV"),
    ("limits", "Shift ratio isolating 0.10"),
    ("limits", "Shift ratio shorted 0.50"),
    ("limits", "Ship/shore 1000 ohm hanging free"),
    ("limits", "Hanging free: metal contact"),
)
