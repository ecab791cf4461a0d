"""Text of the register on its way out: shown as typed, or by its code; never run.

One door for each medium: ``visible`` for a piece of text, ``visible_lines`` for a
terminal, ``markup`` and ``finished_page`` for HTML and SVG, ``json_text`` for JSON,
``csv_text`` for tables, ``policy`` for what a page may run at all.
"""

from jointmap.plain_text.json_form import json_text, script_json
from jointmap.plain_text.markup import finished_page, markup, own_markup, shown_value
from jointmap.plain_text.policy import policy
from jointmap.plain_text.tables import Cell, as_typed, csv_text, neutral
from jointmap.plain_text.visible import lines_text, visible, visible_lines

__all__ = [
    "Cell",
    "as_typed",
    "csv_text",
    "finished_page",
    "json_text",
    "lines_text",
    "markup",
    "neutral",
    "own_markup",
    "policy",
    "script_json",
    "shown_value",
    "visible",
    "visible_lines",
]
