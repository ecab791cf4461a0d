"""From a view and a template to the text of a page; the only user of jinja2.

Everything is escaped unless it is ``Markup`` (glyphs and drawings), and what cannot be
seen is shown as a code. Templates and styles come from this package only. An unknown
name in a template or an unknown label is an error, never an empty space.
"""

import datetime as dt
from functools import cache
from importlib.resources import files

from jinja2 import (
    ChoiceLoader,
    Environment,
    PackageLoader,
    StrictUndefined,
    pass_context,
)
from jinja2.runtime import Context
from markupsafe import Markup

from jointmap.plain_text import finished_page, markup, own_markup, policy, shown_value
from jointmap.register.codes import Outcome
from jointmap.reports.finding_groups import by_kind, without_finding
from jointmap.reports.fixed_words import DUE_STATES, cell, none, words
from jointmap.reports.line_codes import line_code
from jointmap.reports.stud_clock import stud_clock
from jointmap.reports.views import Frame, Link, Sign

NOT_TESTED = tuple(o.value for o in Outcome if o is not Outcome.MEASURED)
# How many findings of a kind the index shows before it points to the full list.
SHOWN_FIRST = 5


def render(template: str, view: object, own: str | None = None) -> str:
    """Return the page that ``template`` makes of ``view``.

    ``own`` is the package of a page that keeps its template beside its modules.
    """
    text = _environment(own).get_template(template).render(view=view)
    return finished_page(text)


@cache
def _environment(own: str | None) -> Environment:
    folders = [PackageLoader("jointmap.reports")]
    if own is not None:
        folders.insert(0, PackageLoader(own, ""))
    made = Environment(
        loader=ChoiceLoader(folders),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        finalize=shown_value,
    )
    made.filters.update(day=day, shown=shown, link=link, links=links, sign=sign)
    made.filters.update(by_kind=by_kind, without_finding=without_finding)
    # As filters of a fixed text they are worked out once, when a template is read.
    made.filters.update(t=words, cell=cell, small=small)
    made.globals.update(t=words)
    made.globals.update(line_code=line_code, stud_clock=stud_clock)
    made.globals.update(style_of=style_of, policy=policy)
    made.globals.update(
        states=DUE_STATES, not_tested_reasons=NOT_TESTED, shown_first=SHOWN_FIRST
    )
    return made


@cache
def style_of(*names: str) -> Markup:
    """Return the style sheets of a page, as one text for one style element."""
    folder = files("jointmap.reports") / "templates"
    texts = [(folder / n).read_text(encoding="utf-8") for n in ("page.css", *names)]
    return own_markup("\n".join(["", *texts]))


def day(value: dt.date | None, missing: str = "not_on_record") -> Markup:
    """Return a date that never breaks over two lines, or the words for none."""
    return none(missing) if value is None else _day(value)


@cache
def _day(value: dt.date) -> Markup:
    return own_markup(f"<time>{value.isoformat()}</time>")


def shown(value: object, missing: str = "not_on_record") -> Markup:
    """Return ``value`` escaped; blank text becomes the words for none."""
    return none(missing) if value in ("", None) else markup(value)


def small(value: object, kind: str = "") -> Markup:
    """Return ``value`` escaped, in small letters; nothing for none or blank text."""
    look = f"small {kind}" if kind else "small"
    return own_markup(f'<span class="{look}">{markup(value)}</span>' if value else "")


@pass_context
def link(context: Context, to: Link, missing: str = "not_on_record") -> Markup:
    """Return ``to`` as a relative link from this page, or just its words."""
    if not to.text:
        return none(missing)
    href, text = _href(context["view"].frame, to.href), markup(to.text)
    return own_markup(f'<a href="{markup(href)}">{text}</a>') if href else text


def _href(frame: Frame, href: str) -> str:
    if not href or href.startswith("#"):
        return href
    if frame.folder and href.startswith(frame.folder):
        return href.removeprefix(frame.folder)
    return "" if frame.up is None else frame.up + href


@pass_context
def links(context: Context, several: tuple[Link, ...]) -> Markup:
    """Return several links in a row, with commas between."""
    return Markup(", ").join(link(context, to) for to in several)


def sign(value: Sign, missing: str = "not_on_record") -> Markup:
    """Return the glyph with its word; the word alone says it all to a screen reader."""
    if not value.word:
        return none(missing)
    return _sign(value.glyph, markup(value.word), markup(value.note))


@cache
def _sign(glyph: Markup, word: Markup, note: Markup) -> Markup:
    seen = f'<span class="glyph" aria-hidden="true">{glyph}</span>'
    text = f'<span class="sign">{seen if glyph else ""}<b>{word}</b></span>'
    beside = f'<span class="small">{note}</span>' if note else ""
    return own_markup(f"{text}{beside}")
