"""Sentences of failure models: why a date by risk or trend, what was learned, refusals."""

_RATES = (
    "at {rate:percent} a year for its class ({failures:.1f} effective failures in "
    "{exposure:.0f} joint-years) and with {isolating} isolating tests of its own"
)
_MODEL = "({source})"

SENTENCES: dict[str, str] = {
    "due.risk": (
        f"Due {{due}}: {_RATES}, the chance of a hidden short reaches the "
        f"{{target:percent}} limit of consequence {{consequence}} on that day {_MODEL}."
    ),
    "due.risk_average": (
        f"Due {{due}}: {_RATES}, the chance of a hidden short, averaged from {{from_on}}, "
        f"reaches the {{target:percent}} limit of consequence {{consequence}} on that "
        f"day {_MODEL}."
    ),
    "due.risk_least": (
        "Due {due}: the target of consequence {consequence} ({target:percent}) cannot be "
        f"met by inspection: {{days}} days after {{from_on}} is the least interval. "
        f"Repair, redesign or monitor {_MODEL}."
    ),
    "due.risk_ratchet": (
        "Due {due}: after the short and the repair, no longer interval than the one in "
        f"force before ({{days}} days) until one isolating test is on record {_MODEL}."
    ),
    "due.risk_cap": (
        "Due {due}: tested {from_on}; {months}-month cap of consequence {consequence} "
        f"{_MODEL}."
    ),
    "due.trend": (
        "Due {due}: the readings by {method} fall; their lower 95 % limit meets "
        "{limit:ohm} in {years_left:.1f} years from {from_on}, and half of that is the "
        f"interval ({{readings}} readings) {_MODEL}."
    ),
    "risk.life_backwards": (
        "{count} lives end before they begin; the first is good at {after:g} and failed "
        "by {until:g}."
    ),
    "risk.no_failure": "None of {lives} lives has failed: no law can be fitted.",
    "risk.no_fit": "No law with finite numbers fits these {lives} lives.",
    "risk.before_start": (
        "{count} tests or renewals come before their joint's start; a negative age has no "
        "meaning. Correct the fitting day, or leave them out."
    ),
    "risk.errors_sum": (
        "Error table of {method}: each chance must be above zero and each row sum to 1."
    ),
    "risk.errors_order": (
        "Error table of {method}: the odds of a failed joint must rise from isolating to "
        "doubtful to shorted; as written, a better verdict would be worse news."
    ),
    "risk.errors_method": "Error table of {method}: no such method, or no source.",
    "risk.target_range": (
        "Targets of consequence {consequence}: chances lie between 0 and 1, a cap has at "
        "least one month."
    ),
    "risk.bad_model": "The numbers of this model cannot be used: {error}.",
    "risk.model_unknown": (
        "The catalogue of models has no {model}, or a last day was given; known: {known}. "
        "A model ends when the next one begins."
    ),
    "early.found": (
        "{look} {name}: {failures} of {devices} failed within {years:g} years of fitting; "
        "the rate of all others would give {expected:.1f}. As many or more by chance: "
        "{raw_p:.2g}; allowing for all {looks} classes looked at: {corrected_p:.2g}. "
        "{weight}"
    ),
    "early.strong": "Worth a look at the next fitting of its kind; not proof of a cause.",
    "early.weak": "Small numbers: with this many looks, one such class is no surprise.",
}
