"""Text into HTML and SVG: escaped, and with codes for what cannot be seen."""

import html

from markupsafe import Markup, escape

from jointmap.plain_text.visible import code, visible, visible_lines


def markup(value: object) -> Markup:
    r"""Return a value as text inside HTML or SVG, in an attribute too.

    >>> markup('<b>"\x1b')
    Markup('&lt;b&gt;&#34;&lt;U+001B&gt;')
    """
    if isinstance(value, Markup):
        return value
    return escape(visible(str(value)))


def own_markup(text: str) -> Markup:
    """Return a drawing or style made by this package as markup that is left as it is.

    Never give it text of the register: that goes through ``markup`` first.
    """
    return Markup(text)  # noqa: S704 - the one place where text is taken for markup


def shown_value(value: object) -> object:
    """Return what a template is about to write: text with codes, all else untouched."""
    if isinstance(value, str) and not isinstance(value, Markup):
        return visible(value)
    return value


def finished_page(text: str) -> str:
    """Return a whole page with codes for whatever came in by another way."""
    return visible_lines(text, lambda found: html.escape(code(found)))
