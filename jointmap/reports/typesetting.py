"""A template of this package and plain data to PDF bytes, by typst.

The PDF is a function of the data: no clock, no random id, fonts of this package only.
"""

from collections.abc import Mapping
from functools import cache
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING

from jointmap.plain_text import json_text, shown_value

if TYPE_CHECKING:
    import typst


def pdf_of(template: str, data: Mapping[str, object]) -> bytes:
    """Return the PDF that ``template`` makes of ``data``, its input ``sheet``.

    The data come in as strings, which typst never reads as markup.
    """
    # Large to import, and few commands need it.
    import typst

    folder = _package() / "templates"
    made = typst.compile(
        str(folder / template),
        root=str(folder),
        font_paths=_fonts(),
        sys_inputs={"sheet": json_text(_shown(data))},
    )
    return bytes(made)


def _shown(value: object) -> object:
    """Return plain data with codes in its texts; drawings (``Markup``) have theirs."""
    if isinstance(value, Mapping):
        return {name: _shown(one) for name, one in value.items()}
    if isinstance(value, list | tuple):
        return [_shown(one) for one in value]
    return shown_value(value)


@cache
def _fonts() -> "typst.Fonts":
    import typst

    return typst.Fonts(
        include_system_fonts=False,
        include_embedded_fonts=False,
        font_paths=[str(_package() / "fonts")],
    )


def _package() -> Path:
    return Path(str(resources.files("jointmap.reports")))
