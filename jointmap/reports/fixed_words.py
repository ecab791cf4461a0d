"""The fixed words of pages and of texts for a terminal.

Pieces of pages that never change are made once: a page asks for some hundreds of them,
and a published folder has thousands of pages.
"""

from functools import cache

from markupsafe import Markup

from jointmap.plain_text import markup, own_markup
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


def words(id: str, **values: object) -> Markup:  # noqa: A002
    """Return the fixed words of a page as text inside HTML."""
    return markup(label(id, **values)) if values else _words(id)


@cache
def _words(id: str) -> Markup:  # noqa: A002
    return markup(label(id))


@cache
def cell(id: str, kind: str = "") -> Markup:  # noqa: A002
    """Return the opening of a table's cell, which names its column for a phone."""
    look = f' class="{kind}"' if kind else ""
    return own_markup(f'<td role="cell" data-label="{_words(id)}"{look}>')


@cache
def none(missing: str) -> Markup:
    """Return the words that stand where a value is missing."""
    return own_markup(f'<span class="none">{_words(missing)}</span>')
