"""Labels of pages: fixed words only; sentences about a case come from the caller."""

from jointmap.wording.fields import FIELDS
from jointmap.wording.page_labels import PAGES

USERS: dict[str, str] = {
    "integrity_engineer": "Integrity engineer",
    "planner": "Planner",
    "auditor": "Auditor",
}

BLANKS: dict[str, str] = {
    "resistance": "Resistance",
    "test_voltage": "Test voltage",
    "a_on": "Side A, on",
    "b_on": "Side B, on",
    "a_off": "Side A, instant-off",
    "b_off": "Side B, instant-off",
    "interrupted_side": "Side interrupted (A or B)",
    "sources_cycling": "Sources cycling",
    "sources_steady": "Sources steady",
    "cycles": "Cycles read",
    "cycle_spread": "Largest less smallest potential shift",
    "electrode": "Electrode",
    "indication": "Shown: no short / short / unclear",
    "test_current": "Test current",
    "span_current": "Current in the measuring span",
    "geometry": "Measured between / beyond",
    "hangs_free": "Hangs free (yes / no)",
    "path_state": "Found: apart / joining",
    "output_current": "Output current",
    "output_voltage": "Output voltage",
    "reading": "Reading",
}

SENTENCES: dict[str, str] = {
    **{f"page.{id_}": text for id_, text in PAGES.items()},
    **{f"field.{id_}": text for id_, text in FIELDS.items()},
    **{f"user.{id_}": text for id_, text in USERS.items()},
    **{f"blank.{id_}": text for id_, text in BLANKS.items()},
}
