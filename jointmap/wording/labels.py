"""Labels of pages: fixed words only; sentences about a case come from the caller."""

from jointmap.wording.fields import FIELDS
from jointmap.wording.page_labels import PAGES

USERS: dict[str, str] = {
    "integrity_engineer": "Integrity engineer",
    "planner": "Planner",
    "auditor": "Auditor",
}

# Kinds of finding in the order they are shown: what to act on first stands first.
FINDINGS: dict[str, str] = {
    "boundary_shorted": "Boundaries shorted",
    "not_for_transfer": "Not to be used for transfer",
    "repair_not_proved": "Repairs that no test has proved",
    "clock_over": "Clocks after a bad result that are over",
    "section_current": "Section current that is not accounted for",
    "past_limit": "Past the last allowed day",
    "missed_year": "Calendar years missed",
    "temporary_bond": "Temporary bonds left on",
    "path_joining": "Parallel paths found joining",
    "stud_one_side": "Studs isolating on 1 of 2 sides",
    "wrong_lubricant": "Lubricant not allowed for the kit",
    "torque_doubt": "Torque without a unit or far from its target",
    "installation_gap": "Other doubts in installation records",
    "photo_far": "Photos whose camera was far from the joint",
    "inside_water": "Water inside may carry current around the joint",
    "early_class": "Kinds that short earlier than the rest",
    "design": "Design: what cannot isolate, or should not stand there",
    "floating": "Structures that float",
    "cluster": "Many shorts in one place within a short time",
    "position_doubt": "Positions in doubt",
    "instrument_lapsed": "Tests with an instrument whose certificate had ended",
    "person_lapsed": "Tests by a person not qualified on that day",
    "short_count": "Calendar years with fewer tests than the rule counts",
    "law_unseen": "Changes of rules and limits that no second person has seen",
    "correction_unseen": "Corrections that no second person has seen",
    "by_one": "Taken by one person where two are asked",
    "role_unknown": "Roles on record that carry no authority",
    "rules_contradict": "Rules in force that say different things of the same",
    "one_day": "Read good and bad on one day by one method",
    "many_a_day": "Many tests of one place on one day",
    "before_fitting": "Tests dated before the device was fitted",
    "deferral": "Deferrals that ended without a test, or of nothing on record",
    "copied_reading": "Readings that look copied",
    "impossible_travel": "Tests too far apart for the time between them",
    "entered_late": "Tests entered late",
    "close_to_limit": "Tests within 10 days of the limit",
    "cannot_decide": "Method cannot decide",
    "no_basis": "No basis for a date",
    "no_purpose": "No purpose stated",
    "decision_ends": "Decisions that end soon or have ended",
    "awaiting_decision": "Other values awaiting decision",
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
    **{f"finding.{id_}": text for id_, text in FINDINGS.items()},
    **{f"blank.{id_}": text for id_, text in BLANKS.items()},
}
