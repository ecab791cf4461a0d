"""Sentences of ranked suspects and of the checks that come next."""

SENTENCES: dict[str, str] = {
    "checks.none_of_these": "none of these",
    "checks.chance": "{chance:percent}",
    "checks.hardly": "under 0.1 %",
    "checks.surely": "over 99.9 %",
    "checks.on_other_boundary": "see {boundary}",
    "checks.left_none": (
        "None of these, metal that is not on record: {chance:percent}."
    ),
    "checks.left_way_round": (
        "Not joined here but by a way round through third structures: {chance:percent}."
    ),
    "checks.left_not_reckoned": (
        "Ways round through third structures are too many to be weighed."
    ),
    "checks.ac_not_read": (
        "not now: no AC reading of this boundary is on record since {since}; read AC "
        "on each side and between them first"
    ),
    "checks.ac_high": (
        "not now: AC of {value:volt} was read, the limit is {limit:volt}"
    ),
    "checks.storm": "not now: a storm is on record today",
    "checks.conditions": (
        "Takes protection off. AC read first, below {limit:volt}; no storm near; stay "
        "beside it; at most {minutes} minutes; put the lead back, and write down when."
    ),
}
