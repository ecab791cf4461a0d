"""Sentences of due dates: why this day, and step by step."""

_COUNTED = {
    "": "tested {from_on}",
    "_from_start": "no test yet, counted from the start on {from_on}",
}
_ONCE = "once each calendar year, not exceeding {months} months"
_EVERY = "once every {years} calendar years, not exceeding {months} months"
_SHORTENED = (
    "the {base_months}-month interval ({base_source}) is shortened to {months} "
    "(x {factor:g}): {trigger}, since {since_on}"
)

# Each is said of a subject with a test, and of one that counts from its start.
_LIMITS = {
    "due.year_gap": f"{_ONCE}; the months end first",
    "due.year_end": f"{_ONCE}; the calendar year ends first",
    "due.years_gap": f"{_EVERY}; the months end first",
    "due.years_end": f"{_EVERY}; the calendar year ends first",
    "due.months": "{months}-month limit",
    "due.six_a_year": (
        "six each calendar year, not exceeding {months} months and {days} days"
    ),
    "due.before_use": (
        "the {months}-month limit ran out while out of use since {since_on}, so it was "
        "to be tested before the next use, which began on that day"
    ),
    "due.tenth": (
        "a tenth of the separately protected sections each calendar year, all within "
        "{years} years; the turn of its section"
    ),
    "due.tenth_last": (
        "a tenth of the separately protected sections each calendar year; its section "
        "must not wait longer than {years} years"
    ),
    "due.condition": _SHORTENED,
    "due.condition_late": (
        f"{_SHORTENED}; that had run out, so the least interval from then applies"
    ),
}

_SAID = {
    f"{reason}{when}": f"Due {{due}}: {counted}; {limit} ({{source}})."
    for reason, limit in _LIMITS.items()
    for when, counted in _COUNTED.items()
}
_IDLE = {
    f"due.before_use_idle{when}": (
        f"No date while out of use since {{since_on}}: {counted}; the {{months}}-month "
        "limit has run out. Test before the next use ({source})."
    )
    for when, counted in _COUNTED.items()
}

SENTENCES: dict[str, str] = {
    **_SAID,
    **_IDLE,
    "due.occurrence": (
        "Due {due}: {trigger} on {since_on} and no deciding test after that day; "
        "{days}-day limit ({source})."
    ),
    "due.no_rule": "No basis: no rule in force sets a date for this {subject}.",
    "due.no_date": (
        "No basis: no test and no start day on record, so no date at all to count from."
    ),
    "due.risk_no_start": (
        "No date by risk: no day of fitting, duty or test to count its life from."
    ),
    "due.risk_no_consequence": (
        "No date by risk: its consequence class is not on record."
    ),
    "due.step_last_test": "Last test that counts: {last_on}.",
    "due.step_start": "No test that counts; counted from the start on {start_on}.",
    "due.step_no_date": "No test that counts and no start day on record.",
    "due.step_governs": "The earliest governs: {due}, basis {basis} ({source}).",
    "due.step_planning": (
        "Plan for {planning_on}, {days} days before the last allowed day."
    ),
    "due.step_state": "State: {state}.",
    "due.step_action": (
        "The last result, on {last_on}, is shorted: find the cause and repair. "
        "The date of the next test is no remedy."
    ),
    "rule.order": (
        "the rule ends on {until}, before its first day {from_on}; correct one"
    ),
    "rule.lacks": "a rule of shape '{shape}' states {needs}; {column} is blank",
    "rule.spare": (
        "a rule of shape '{shape}' states {needs}; leave {column} blank, or choose the "
        "shape that has it"
    ),
    "rule.number": "a number above zero is wanted",
    "rule.trigger": "no such trigger; accepted: {known}",
    "rule.lengthens": "a factor above 1 would lengthen an interval; state 1 or less",
    "due.rule_lacks": "Rule {rule} ({shape}) states no {field}.",
    "due.rule_lengthens": (
        "Rule {rule} ({shape}) has factor {factor:g}; a factor above 1 would lengthen "
        "an interval. State 1 or less."
    ),
    "due.rule_unknown": "The catalogue of interval rules has no rule {rule}.",
    "due.trigger_unknown": "Unknown trigger {trigger}. Known: {known}.",
    "due.subject_twice": (
        "{count} subjects stand in the list more than once; the first has id {id}."
    ),
    "due.table_heading": "The headings of the rule catalogue must be: {wanted}.",
    "due.table_cells": "Rule {name} has too many or too few cells.",
    "due.table_missing": "Rule {name} states no {column}.",
    "due.table_number": "Rule {name}: {column} {value} is not a number above zero.",
    "due.table_truth": "Rule {name}: {column} is {value}; yes or no is wanted.",
    "due.table_twice": "Rule {name} stands in the catalogue twice.",
}
