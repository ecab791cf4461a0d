"""Makes docs/reference/ from the code: ``python .ci/reference_pages.py [--check]``."""

import inspect
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

from jointmap.exchange import SHEETS, Sheet
from jointmap.register import Column

FOLDER = Path(__file__).resolve().parents[1] / "docs" / "reference"
MADE = "<!-- made by .ci/docs; do not edit -->\n"


def table(heading: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """Return a Markdown table."""
    lines = [heading, ["---"] * len(heading), *rows]
    return "".join("| " + " | ".join(map(_cell, line)) + " |\n" for line in lines)


def _cell(value: object) -> str:
    text = "" if value is None else str(value)
    return " ".join(text.replace("|", "\\|").split())


def page(title: str, *parts: str) -> str:
    """Return a page: a title, and its parts with an empty line between them."""
    return "\n".join([f"# {title}\n", MADE, *parts])


def columns() -> str:
    """Return the page of every file's columns."""
    parts = [_sheet(sheet) for sheet in SHEETS.values()]
    return page("Columns of the files", COLUMNS_OPENING, *parts)


COLUMNS_OPENING = """\
A file's name starts with its sheet; more words may follow
(`joints_contractor_south.csv`). UTF-8, comma between cells, an empty cell for "none".
Days are `2026-05-15`, truth is `yes` or `no`. A quantity carries its unit in the cell
(`640 ft·lbf`, `> 999 Mohm`). Columns marked * must be there. `correction_reason` turns
a row that differs from what is known into a new revision.
"""


def _sheet(sheet: Sheet) -> str:
    rows = [
        (f"`{label}`" + " *" * (label in sheet.required), _accepts(column))
        for label, column in sheet.columns.items()
    ]
    rows += [(f"`{name}` *", "text") for name in sheet.extra_required]
    rows += [(f"`{name}`", "text") for name in sheet.extra]
    head = f"## `{sheet.name}{sheet.suffix}`\n"
    return f"{head}\n{table(['column', 'accepts'], rows)}"


def _accepts(column: Column) -> str:
    if column.refers:
        return f"name of a {column.refers.replace('_', ' ')} that is known"
    if column.words is not None:
        return "one of: " + ", ".join(f"`{w}`" for w in column.words)
    if column.quantity:
        return f"{column.quantity}, with its unit"
    return PLAIN[column.type.__name__]


PLAIN = {
    "str": "text",
    "int": "whole number",
    "float": "number",
    "bool": "`yes` or `no`",
    "date": "day",
    "datetime": "instant with its zone, such as `2026-05-15T09:30:00Z`",
}


def commands() -> dict[str, Any]:
    """Return every command of the program by name."""
    from jointmap.cli import main

    context = main.make_context("jointmap", [], resilient_parsing=True)
    found = {
        name: main.get_command(context, name) for name in main.list_commands(context)
    }
    return {name: command for name, command in found.items() if command is not None}


def commands_page() -> str:
    """Return the page of every command with its arguments and options."""
    parts = [_command(name, command) for name, command in sorted(commands().items())]
    return page("Commands", COMMANDS_OPENING, *parts)


COMMANDS_OPENING = """\
`SITE` is a site folder. Exit codes: 0 done, 1 findings or rows that await a decision,
2 wrong use, 3 refused input, 4 integrity broken.
"""


def _command(name: str, command: Any) -> str:  # noqa: ANN401
    usage = [f"jointmap {name}"]
    usage += [_argument(p) for p in command.params if p.param_type_name == "argument"]
    options = [p for p in command.params if p.param_type_name == "option"]
    rows = [(_option(p), p.help) for p in options if p.opts != ["--help"]]
    listed = table(["option", "meaning"], rows) if rows else ""
    return f"## `{' '.join(usage)}`\n\n{_prose(command.help)}\n\n{listed}"


def _argument(parameter: Any) -> str:  # noqa: ANN401
    name = parameter.human_readable_name.upper()
    name += "..." * (parameter.nargs == -1)
    return name if parameter.required else f"[{name}]"


def _option(parameter: Any) -> str:  # noqa: ANN401
    words = ", ".join(f"`{word}`" for word in parameter.opts)
    return words + (" (must be given)" if parameter.required else "")


def _prose(help_text: str | None) -> str:
    # Paragraphs marked \b are laid out by hand: shown as they stand.
    blocks = inspect.cleandoc(help_text or "").split("\n\n")
    return "\n\n".join(_paragraph(block) for block in blocks)


def _paragraph(block: str) -> str:
    by_hand = block.removeprefix("\b\n")
    return block if by_hand == block else f"```\n{by_hand}\n```"


def main(words: Sequence[str]) -> int:
    """Write the pages; with ``--check`` say which differ, and end with 1 if any."""
    differing = [name for name, text in _made() if _on_disk(name) != text]
    if "--check" in words:
        sys.stdout.writelines(f"differs: docs/reference/{name}\n" for name in differing)
        return 1 if differing else 0
    for name, text in _made():
        (FOLDER / name).write_text(text, encoding="utf-8", newline="\n")
    return 0


def _made() -> Iterator[tuple[str, str]]:
    return ((name, make()) for name, make in PAGES.items())


def _on_disk(name: str) -> str:
    path = FOLDER / name
    return path.read_text(encoding="utf-8") if path.exists() else ""


PAGES: dict[str, Callable[[], str]] = {
    "columns.md": columns,
    "commands.md": commands_page,
}

if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
