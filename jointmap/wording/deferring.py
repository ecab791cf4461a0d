"""Sentences on tests put off by decision."""

SENTENCES: dict[str, str] = {
    "defer.open": (
        "Put off until {until} by {who}{by_one} on {decided_on}{late}, authority "
        "{authority}: {why} ({number}). The last allowed day stays {due}."
    ),
    "defer.over": (
        "Had been put off until {until} by {who}{by_one} on {decided_on}{late}, "
        "authority {authority}: {why} ({number}). That day is over without a test that "
        "counts."
    ),
    "defer.recorded": " (recorded only on {recorded})",
    "defer.lacks": (
        "a deferral must state {column}: until when, by whom, by what authority"
    ),
    "defer.order": (
        "a deferral until {until} ends no later than the day it was decided on, "
        "{decided_on}; state a later day"
    ),
    "defer.unknown": "nothing that has a date is called so; nearest: {nearest}",
    "defer.several": (
        "several things are called so ({kinds}); add --kind with one of these words"
    ),
    "defer.by_joint": "its joints have dates of their own; put off one of those",
    "defer.not_due": "it is out of duty, gone, or joined on purpose",
    "defer.kind": "what is put off is a test; accepted: {accepted}",
    "defer.too_early": "it was not there yet on {decided_on}",
    "defer.no_rule": "no rule that gives it a date was in force on {decided_on}",
    "defer.no_date": "{name} has no date that could be put off: {because}",
    "defer.done": (
        "{name}: put off until {until}, authority {authority}. The last allowed day "
        "stays {due} ({basis})."
    ),
    "defer.passes": (
        "That is {days} days past the last allowed day: from then on the line reads "
        "'past the limit', and a law's limit is not moved by this decision."
    ),
}
