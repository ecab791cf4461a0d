"""Pieces of pages that never change, made once: words, cells, heads of tables.

A page asks for some hundreds of them, and a published folder has thousands of pages.
"""

from functools import cache

from markupsafe import Markup

from jointmap.plain_text import markup, own_markup
from jointmap.reports.fixed_words import label


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
