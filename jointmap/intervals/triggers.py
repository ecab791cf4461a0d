"""What may shorten an interval or open a re-test."""

from jointmap.errors import Problem, WrongUse

LAST_SHORTED = "last result shorted"
LAST_DOUBTFUL = "last result doubtful or shorted"
# What a clock after a bad result may count from, instead of from the result.
NEXT_REQUIRED_TEST = "next required test"
PERMIT_RECEIVED = "permit received"

# A rule's column holds the place in this list; new words go to the end.
TRIGGERS: tuple[str, ...] = (
    LAST_SHORTED,
    LAST_DOUBTFUL,
    "one side of a stud lost",
    "wrong lubricant",
    "fitting fault",
    "wrong part",
    "batch under suspicion",
    "too hot",
    "metal touching",
    "coating damage",
    "storm",
    "power fault",
    "painting",
    "source step",
    "water breakthrough",
    "work nearby",
    "wall loss",
    "flood",
    "reroute",
    "repair",
    NEXT_REQUIRED_TEST,
    PERMIT_RECEIVED,
)

# These stay while the fact stands: a good reading of the whole joint cannot see
# a lost side of a stud or the wrong lubricant, so good tests do not end them.
WHILE_IT_STANDS: tuple[str, ...] = (
    "one side of a stud lost",
    "wrong lubricant",
    "wrong part",
    "batch under suspicion",
)


def trigger_code(word: str) -> int:
    """Return a trigger's place in ``TRIGGERS``; -1 for an empty word.

    Raises
    ------
    WrongUse
        The word is not in the list.
    """
    if not word:
        return -1
    if word not in TRIGGERS:
        raise WrongUse(
            Problem(
                "due.trigger_unknown", {"trigger": word, "known": "; ".join(TRIGGERS)}
            )
        )
    return TRIGGERS.index(word)
