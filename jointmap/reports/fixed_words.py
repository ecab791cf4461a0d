"""The fixed words of pages and of texts for a terminal."""

from jointmap.register.codes import DueState
from jointmap.wording import say

# The due list opens with what is late; what needs a person's ruling stands last.
DUE_STATES = tuple(
    state.value
    for state in (
        DueState.PAST_LIMIT,
        DueState.NEAR_LIMIT,
        DueState.DUE_THIS_MONTH,
        DueState.IN_TIME,
        DueState.BEFORE_NEXT_USE,
        DueState.NO_BASIS,
    )
)


def label(id: str, **values: object) -> str:  # noqa: A002
    """Return the fixed words of a page; ``id`` without a family is a page's own."""
    return say(id if "." in id else f"page.{id}", values)
