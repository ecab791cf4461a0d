"""Sentences of clocks after bad results, and of the current that sections draw."""

SENTENCES: dict[str, str] = {
    "clock.over": "over by {days} days",
    "clock.left": "{days} days left",
    "clock.met": "done on {day} ({number})",
    "clock.line": "{whose}: {what} {until}, {state}",
    "find.repair_not_proved": (
        "{done}, and no good test since by a method valid for an installed joint: "
        "repair not proved"
    ),
    "find.repair_of_boundary": (
        "repair recorded on {day} ({what}), and the boundary has no good test since: "
        "repair not proved"
    ),
    "find.clock_over": (
        "{what} {until}: over by {days} days, since a result of {since} ({source})"
    ),
    "current.reading": "{source} {value:ampere} on {day}",
    "current.over": (
        "{value:ampere} more than the design; it may be going over: {names}"
    ),
    "current.over_no_candidate": (
        "{value:ampere} more than the design, and every boundary of it is shown "
        "isolating: look for metal that is not on record, the coating, the source's "
        "setting"
    ),
    "find.section_current": (
        "{structure} draws {measured:ampere} ({readings}) against a design of "
        "{design:ampere}; {value:ampere} is not accounted for. Look at: {names}"
    ),
    "find.section_current_no_candidate": (
        "{structure} draws {measured:ampere} ({readings}) against a design of "
        "{design:ampere}; {value:ampere} is not accounted for, and every boundary of "
        "it is shown isolating: look for metal that is not on record, the coating, the "
        "source's setting"
    ),
    "find.not_for_transfer": ("not to be used for transfer from {since}: {reason}"),
    "find.floating": (
        "{structure} floats: nothing on record feeds it, earths it or joins it to "
        "anything that is earthed"
    ),
}
