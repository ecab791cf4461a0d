"""Whether two persons stand behind a decision that asks for two."""

from jointmap.register import Decision
from jointmap.register.rights.roles import FOR_TWO
from jointmap.register.told import Told


def lacks_second(decision: Decision) -> bool:
    """Whether a decision asks for two persons by its kind, and names one."""
    return decision.kind in FOR_TWO and decision.second_person_id is None


def by_one_person(decision: Decision) -> Told | str:
    """Return what is told behind the name of one who decided alone; blank for two."""
    return Told("decided.by_one") if lacks_second(decision) else ""
