"""How many values from outside the checks rest on, counted by their sources."""

import csv
from collections import Counter
from pathlib import Path

from tests.second_copies import counted

HERE = Path(__file__).parent
# The columns of each file that hold what an outside text prints.
OUTSIDE = {
    "acceptance": ("verdict",),
    "cosmesis": ("after", "until"),
    "cross_order": ("order",),
    "electrical_formulas": ("expected",),
    "fitting_calculations": ("expected",),
    "fitting_figures": ("expected",),
    "gamma_poisson": ("prior_shape", "prior_rate"),
    "handbook_pipe": ("weight_lb_ft", "mass_kg_m", "r_uohm_ft", "r_uohm_m"),
    "inclusion_proofs": ("path",),
    "location": ("expected",),
    "merkle_library": ("root",),
    "merkle_roots": ("root",),
    "routing_customers": ("x", "y", "opens", "closes"),
    "routing_plans": ("customers",),
    "steel_pipe_weights": ("weight_lb_ft",),
    "turbine_parts": ("after", "until", "count"),
    "turbine_wheels": ("after", "until", "count"),
    "turnbull_masses": ("after", "until", "share"),
}
NOT_OUTSIDE = (
    "computed",
    "reckoned",
    "worked by hand",
    "owner's choice",
    "common practice, no source",
)
OURS = (
    "this project",
    "the source of the table",
    "worked by hand",
    "by hand",
    "derived",
)
# The texts that the sources name; one that names none of them is not counted.
TEXTS = (
    "ASME B16.5",
    "ASME B1.1",
    "ASME B18.2.2",
    "ASME B18.2.6",
    "ASTM A193",
    "ASTM F436",
    "PCC-1",
    "Hydraulic Institute",
    "bolt tension tests",
    "piping page",
    "12-bolt sequence",
    "charts of laminates",
    "glass-epoxy laminates",
    "49 CFR 192",
    "49 CFR 193",
    "49 CFR 195",
    "California Code",
    "UFC 3-570-06",
    "MIL-HDBK-1004/10",
    "ISGOTT",
    "0177",
    "ISO 15589-1",
    "state form",
    "State tank guidance",
    "tester course manual",
    "Journal of Corrosion",
    "Bard and Faulkner",
    "public tables of electrodes",
    "Finkelstein",
    "Nelson",
    "R package interval",
    "Gelman",
    "Solomon",
    "VRPLIB",
    "NUREG",
    "certificate transparency",
    "RFC 9162",
    "pymerkle",
    "GeographicLib",
    "PROJ test suite",
    "UTM definition",
    "WGS 84",
)
DIMENSIONS = {"flanges", "steel_washers", "stud_threads"}


def _from_files() -> Counter[tuple[str, str]]:
    found: Counter[tuple[str, str]] = Counter()
    for name, columns in OUTSIDE.items():
        with (HERE / f"{name}.csv").open(encoding="utf-8", newline="") as file:
            for row in csv.DictReader(file):
                if row["mark"].startswith(NOT_OUTSIDE):
                    continue
                cells = sum(bool(row[c]) and row[c] != "inf" for c in columns)
                found[_text(row["source"]), name] += cells
    return found


def _text(source: str) -> str:
    """Return the text that ``source`` names; empty where it is ours or names none."""
    if any(word in source for word in OURS):
        return ""
    return next((text for text in TEXTS if text in source), "")


def outside() -> Counter[tuple[str, str]]:
    """Count the outside values by source and by table or file."""
    found = _from_files()
    for (source, kind, name), cells in counted().items():
        if kind != "computed":
            found[_text(source), name] += cells
    return Counter({place: n for place, n in found.items() if place[0]})


def test_enough_outside_values_from_enough_sources():
    found = outside()
    others = sum(n for (_, name), n in found.items() if name not in DIMENSIONS)
    assert sum(found.values()) >= 1500
    assert len({source for source, _ in found}) >= 25
    assert others >= 500


def test_what_was_worked_by_hand_is_not_said_to_be_seen():
    rows = [
        row
        for file in HERE.glob("*.csv")
        for row in csv.DictReader(file.read_text(encoding="utf-8").splitlines())
    ]
    by_hand = [r for r in rows if "by hand" in r.get("source", "")]
    assert len(by_hand) >= 34
    assert not [r for r in by_hand if r["mark"].startswith("seen")]
