"""Sentences of failure models: why a date, what was learned, refusals."""

_RATES = (
    "at {rate:percent} a year for {whose} over ten years from new "
    "({failures:.1f} effective failures in {exposure:.0f} joint-years; Weibull shape "
    "{shape:.2f}) and with {isolating} isolating tests of its own"
)
_MODEL = "({source})"

SENTENCES: dict[str, str] = {
    "due.class": "its class",
    "due.others": "the others of its class",
    "due.risk": (
        f"Due {{due}}: {_RATES}, the chance of a hidden short reaches the "
        f"{{target:percent}} limit of consequence {{consequence}} on that day {_MODEL}."
    ),
    "due.risk_average": (
        f"Due {{due}}: {_RATES}, the chance of a hidden short, averaged from "
        f"{{from_on}}, "
        f"reaches the {{target:percent}} limit of consequence {{consequence}} on that "
        f"day {_MODEL}."
    ),
    "due.risk_least": (
        "Due {due}: the target of consequence {consequence} ({target:percent}) "
        "cannot be "
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
        "{count} lives end before they begin; the first is good at {after:g} "
        "and failed "
        "by {until:g}."
    ),
    "risk.no_failure": "None of {lives} lives has ended: no law can be fitted.",
    "risk.no_fit": "No law with finite numbers fits these {lives} lives.",
    "risk.before_start": (
        "{count} tests or renewals come before their joint's start; a negative "
        "age has no "
        "meaning. Correct the fitting day, or leave them out."
    ),
    "risk.errors_sum": (
        "Error table of {method}: each chance must be above zero and each row sum to 1."
    ),
    "risk.errors_order": (
        "Error table of {method}: the odds of a failed joint must rise from "
        "isolating to "
        "doubtful to shorted; as written, a better verdict would be worse news."
    ),
    "risk.target_range": (
        "Targets of consequence {consequence}: chances lie between 0 and 1, a "
        "cap has at "
        "least one month."
    ),
    "risk.bad_model": "The numbers of this model cannot be used: {error}.",
    "risk.model_unknown": (
        "The catalogue of models has no {model}, or a last day was given; "
        "known: {known}. "
        "A model ends when the next one begins."
    ),
    "early.found": (
        "{look} {name}: {failures} of {devices} fell under their limit "
        "within {years:g} years "
        "of fitting; "
        "the rate of all others would give {expected:.1f}. As many or more by chance: "
        "{raw_p:.2g}; the others' rate being a small count too: {share_p:.2g}; "
        "allowing "
        "for all {looks} classes looked at: {corrected_p:.2g}. {weight}"
    ),
    "early.too_few": "{count} flange kits are on record: too few to compare. A class"
    " needs {least} kits that were watched, and others to compare it with.",
    "early.strong": (
        "Worth a look at the next fitting of its kind; not proof of a cause."
    ),
    "early.weak": "Small numbers: with this many looks, one such class is no surprise.",
    "learn.stored": (
        "Stored as {path}. It changes no date until it is adopted (--adopt)."
    ),
    "learn.adopted": "{model} is in force from {from_on}, adopted by {by}.",
    "learn.known": "{model} is in force already; nothing was changed.",
    "learn.no_joint": "No joint has a day to start from: nothing to learn from.",
    "learn.data": "Learned from {data}.",
    "learn.ageing": (
        "Devices {mechanism}: hazard grows with age to the power {shape:.2f} "
        "(1: no ageing), from {shorts} shorts found."
    ),
    "learn.no_ageing": (
        "Devices {mechanism} are taken not to age: {shorts} shorts found; fewer "
        "than {least} say nothing of ageing."
    ),
    "learn.spread": (
        "A joint's own rate differs from its class's by a factor of about 1 +/- "
        "{spread:.1f}."
    ),
    "learn.devices": (
        "Classes of devices, mean rate of the ten years from new; a class with no "
        "record has {mean:.4f} a year:"
    ),
    "learn.places": (
        "Classes of places (ways around); a class with no record has {mean:.4f} a year:"
    ),
    "learn.repeats": (
        "Tests of a joint by one method with one verdict, at most {days} days apart, "
        "count once: the last."
    ),
    "learn.small_class": (
        "In classes of fewer than {small} joints a joint's own record is left out of "
        "its class's rate: it counts in its own."
    ),
    "learn.class": (
        "  {name}: {rate:.4f} ({joints:.0f} joints, {failures:.1f} effective failures, "
        "effective exposure {exposure:.0f}, {years:.0f} joint-years)"
    ),
    "learn.class_prior": (
        "  {name}: {rate:.4f} ({joints:.0f} joints, {failures:.1f} effective failures "
        "in {years:.0f} joint-years: too few, the plant's mean governs)"
    ),
    "learn.scatter": (
        "Readings by {method} scatter about their line by {spread:.2f} decades."
    ),
    "learn.by_and_why": (
        "--adopt needs --by and --reason: who puts it in force, and why."
    ),
    "what_if.model": "Chances by {source}.",
    "what_if.nothing": (
        "Nothing was asked to change; say --target, --cap, --months, ..."
    ),
    "what_if.option": "{option}: write it as {form}.",
    "what_if.no_rule": "No rule in force is named {rule}; in force: {known}.",
    "what_if.no_method": "No error table of method {method}; known: {known}.",
    "what_if.no_class": "No target of consequence {consequence}; known: {known}.",
    "what_if.tests": (
        "Tests a year: {before:.1f} now, {after:.1f} then ({change:+.1f})."
    ),
    "what_if.hidden": (
        "Joints shorted unseen at a time, expected: {before:.2f} now, {after:.2f} then "
        "({change:+.2f})."
    ),
    "what_if.moved": "Dates moved: {earlier} earlier, {later} later, {same} unchanged.",
    "what_if.one": "  {name}: {before} -> {after} (basis {basis})",
    "what_if.empty_class": (
        "No joint has consequence {consequence}: nothing moves by that."
    ),
    "what_if.empty_rule": (
        "Rule {rule} applies to nothing that is in duty: nothing moves by that."
    ),
    "what_if.saved": "Nothing was saved.",
    "predicted.none": (
        "No failure model is in force; the chances are those of the default prior."
    ),
    "page.predicted_found": "Predicted against found",
    "page.predicted_why": (
        "Each test is foretold from its joint's record up to the test before. "
        "The rates "
        "may have been learned from these very tests, so agreement is no "
        "proof; a run of "
        "quarters outside the band is a warning."
    ),
    "page.by_quarter": "By quarter",
    "page.quarter_from": "Quarter from",
    "page.shorted_predicted": "Shorted, predicted",
    "page.shorted_found": "Shorted, found",
    "page.band": "95 % of quarters",
    "page.outside_band": "outside",
    "page.no_quarters": "No test on record.",
    "page.failure_classes": "Classes and their rates",
    "page.failure_class": "Class",
    "page.class_of_device": "device",
    "page.class_of_place": "place (ways around)",
    "page.rate": "Rate a year",
    "page.effective_failures": "Effective failures",
    "page.joint_years": "Joint-years",
    "page.prior_governs": "too few: the plant's mean governs",
    "page.no_classes": "The model holds no class: no data of your own.",
    "page.failed_by_age": "Share of devices shorted by age",
    "page.years": "years",
    "page.curve_note": (
        "Line: with no law assumed (Turnbull); dashes: a Weibull law, scale "
        "{scale:.0f} "
        "years, shape {shape:.2f}. {lives} devices, verdicts taken at their word."
    ),
    "page.early_classes": "Kits that fail early",
    "page.no_early_classes": "No class is large enough to be compared with the others.",
}
