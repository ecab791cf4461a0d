"""Sentences of what would merge, of halving a main, and of the drawing."""

SENTENCES: dict[str, str] = {
    "what_if_shorted.merges": (
        "If {tag} shorts, boundary {boundary} is joined and these are one metal: "
        "{names}."
    ),
    "what_if_shorted.if_this": "If it shorted, these would be one metal: {names}.",
    "what_if_shorted.already": (
        "{tag} stands on {boundary}, which is joined already; one metal now: {names}."
    ),
    "what_if_shorted.structure": "  {structure} ({kind}): {area}, {design}, {sources}",
    "what_if_shorted.read_alike": (
        "These boundaries would read shorted alike, whatever stands on them: {names}."
    ),
    "what_if_shorted.nothing_saved": "Nothing was saved.",
    "boundary.statement_page": "Statement on one page",
    "boundary.name_missing": "A statement is of one boundary: name it.",
    "boundary.statement_form": "{accepted} can be written, by the file's name.",
    "halving.unknown": "No structure is called '{name}'. Known: {accepted}.",
    "halving.no_services": (
        "{name} is no main with services: no joint on record stands between it and a "
        "service line, so there is nothing to halve. A boundary with the purpose "
        "'service line' makes it one."
    ),
    "halving.head": (
        "{main}: {count} services in order; at most {most} readings find one that "
        "draws current."
    ),
    "halving.cut": (
        "  {step}. {first} to {last}: read the current on the main between {before} "
        "and {beyond} (direction, clamp, or a tone). On the side of {before}: "
        "{if_before}. On the side of {beyond}: {if_beyond}. On both: do both."
    ),
    "halving.go_on": "go on at {step}",
    "halving.found": "it is {tag}, clamp its riser",
    "halving.safety": (
        "Nothing is disconnected and no customer is cut off. Read AC first, hands off "
        "the metal; at or above the site's limit stop. Test for gas before you touch "
        "or open anything; traffic and customers first."
    ),
    "diagram.label": "{structures} structures and {boundaries} boundaries between them",
}
