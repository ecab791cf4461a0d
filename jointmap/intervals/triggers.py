"""What may shorten an interval or open a re-test."""

from jointmap.errors import Problem, WrongUse
from jointmap.register.rule_codes import SIDE_LOST, TRIGGERS

# These stay while the fact stands: a good reading of the whole joint cannot see
# a lost side of a stud or the wrong lubricant, so good tests do not end them.
WHILE_IT_STANDS: tuple[str, ...] = (
    SIDE_LOST,
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
