"""Sentences of clocks after bad results, and of the current that sections draw."""

SENTENCES: dict[str, str] = {
    "clock.over": "over by {days} days",
    "clock.left": "{days} days left",
    "find.clock_over": (
        "{what} {until}: over by {days} days, since a result of {since} ({source})"
    ),
    "current.reading": "{source} {value:ampere} on {day}",
    "current.over": (
        "{value:ampere} more than the design; it may be going over: {names}"
    ),
    "current.no_candidate": "no boundary on record that is not shown isolating",
    "find.section_current": (
        "{structure} draws {measured:ampere} ({readings}) against a design of "
        "{design:ampere}; {value:ampere} is not accounted for. Look at: {names}"
    ),
    "find.not_for_transfer": ("not to be used for transfer from {since}: {reason}"),
    "find.floating": (
        "{structure} floats: nothing on record feeds it, earths it or joins it to "
        "anything that is earthed"
    ),
}
