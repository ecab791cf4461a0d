"""Whether two persons stand behind a decision that asks for two, in words."""

from jointmap.register import Decision
from jointmap.register.roles import FOR_TWO
from jointmap.wording import say


def lacks_second(decision: Decision) -> bool:
    """Whether a decision asks for two persons by its kind, and names one."""
    return decision.kind in FOR_TWO and decision.second_person_id is None


def one_person_words(decision: Decision) -> str:
    """Return the words that stand behind the name of one who decided alone."""
    return say("decided.by_one") if lacks_second(decision) else ""
