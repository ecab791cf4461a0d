"""Lines and tables laid out to the width of the terminal, and printed.

Only what prints a table loads this: ``rich`` takes a tenth of a second. It gets text
that is visible already and never reads markup from it.
"""

import io
import os
import sys
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from itertools import groupby, islice
from typing import cast

from rich.cells import cell_len
from rich.console import Console
from rich.table import Table as Grid
from rich.text import Text

from jointmap.cli.terminal import WIDTH, VisibleStream, width_of_output
from jointmap.plain_text import visible
from jointmap.plain_text.shown import Block, Column, Table, Title, Tone

INDENT = 2
GAP = 2
SHARE = 3  # the last column gets a third of the room at least
WHOLE_WORD = 12  # letters of a word that is broken last, such as a day
ROWS_AT_ONCE = 200  # that are laid out before they are printed
_COLOUR_ENDS = "\x1b[0m"
_STYLES = {Tone.NONE: "bold", Tone.BAD: "bold red", Tone.NEAR: "bold yellow",
           Tone.GOOD: "bold green"}  # fmt: skip


def show(blocks: Iterable[Block]) -> None:
    """Print blocks on standard output as wide as it is, coloured where it may be."""
    width = width_of_output()
    has_colours = _has_colours()
    for block in blocks:
        for text in _texts(block, width, has_colours=has_colours):
            _write(text, has_colours=has_colours)
    # A reader that went away is noticed here, not when the program ends.
    sys.stdout.flush()


def plain(blocks: Iterable[Block], width: int = WIDTH) -> str:
    """Return blocks as text of a width, without colours."""
    return "".join(t for b in blocks for t in _texts(b, width, has_colours=False))


def _has_colours() -> bool:
    """Whether a person looks at it and has not asked for none (no-color.org)."""
    is_plain = os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb"
    return sys.stdout.isatty() and not is_plain


def _write(text: str, *, has_colours: bool) -> None:
    out = sys.stdout
    if has_colours and isinstance(out, VisibleStream):
        out.write_coloured(text)
    else:
        out.write(text)


def _texts(block: Block, width: int, *, has_colours: bool) -> Iterator[str]:
    if isinstance(block, Table):
        yield from _table_texts(block, width, has_colours=has_colours)
        return
    text = block.text if isinstance(block, Title) else block
    shown = visible(text)
    further = " " * (INDENT + len(shown) - len(shown.lstrip(" ")))
    lines = textwrap.wrap(shown, width, subsequent_indent=further)
    if isinstance(block, Title) and has_colours:
        console = _console(width, has_colours=True)
        console.print(_text("\n".join(lines), _STYLES[block.tone]))
        yield _text_of(console)
        return
    yield "".join(f"{line}\n" for line in lines or [""])


def _table_texts(table: Table, width: int, *, has_colours: bool) -> Iterator[str]:
    """Yield a table some rows at a time: what is long is seen before it is whole."""
    heads = tuple(visible(column.head) for column in table.columns)
    cells = [tuple(map(visible, r)) for r in table.rows if not isinstance(r, Title)]
    widths = _widths(table.columns, [heads, *cells], width)
    grid = partial(_grid, table.columns, widths, has_colours=has_colours)
    if any(heads):
        yield grid([heads], is_head=True)
    left = iter(cells)
    for is_title, rows in groupby(table.rows, lambda row: isinstance(row, Title)):
        if is_title:
            for title in rows:
                yield from _texts(cast("Title", title), width, has_colours=has_colours)
            continue
        own = islice(left, len(list(rows)))
        while some := list(islice(own, ROWS_AT_ONCE)):
            yield grid(some)


def _grid(
    columns: Sequence[Column],
    widths: Sequence[int],
    rows: Iterable[tuple[str, ...]],
    *,
    has_colours: bool,
    is_head: bool = False,
) -> str:
    """Return rows laid out in columns of these widths."""
    grid = Grid(box=None, padding=(0, GAP, 0, 0), pad_edge=False, show_header=False)
    for column, own in zip(columns, widths, strict=True):
        grid.add_column(
            width=own,
            overflow="fold",
            justify="right" if column.is_number else "left",
            vertical="bottom" if is_head else "top",
        )
    for row in rows:
        grid.add_row(*(_text(cell, "bold" if is_head else "") for cell in row))
    console = _console(sum(widths) + GAP * len(widths), has_colours=has_colours)
    console.print(grid)
    return textwrap.indent(_text_of(console), " " * INDENT)


def _text(words: str, style: str) -> Text:
    """Return words in a style that the blanks beside them have not."""
    text = Text(words)
    text.stylize(style)
    return text


def _widths(
    columns: Sequence[Column], rows: Sequence[tuple[str, ...]], width: int
) -> list[int]:
    """Return the width of each column: the last takes what the others leave."""
    longer = max(1.0, width / WIDTH)
    wanted = [max(map(cell_len, cells)) for cells in zip(*rows, strict=True)]
    for place, column in enumerate(columns):
        if column.most is not None:
            wanted[place] = min(wanted[place], int(column.most * longer))
    room = width - INDENT - GAP * (len(columns) - 1)
    if sum(wanted) <= room:
        return [max(1, w) for w in wanted]
    last = min(wanted[-1], max(room // SHARE, room - sum(wanted[:-1])))
    words = [_longest_word(cells) for cells in zip(*rows, strict=True)]
    return [*_shared(wanted[:-1], words, room - last), max(1, last)]


def _longest_word(cells: Iterable[str]) -> int:
    """Return how long the longest word is, as far as words are to be kept whole."""
    found = max((cell_len(w) for cell in cells for w in cell.split()), default=1)
    return min(found, WHOLE_WORD)


def _shared(wanted: Sequence[int], words: Sequence[int], room: int) -> list[int]:
    """Return widths that fit into ``room``: the widest give first, words break last."""
    found = [*wanted]
    while sum(found) > room and max(found) > 1:
        loose = [n for n, w in enumerate(found) if w > words[n]] or range(len(found))
        found[max(loose, key=found.__getitem__)] -= 1
    return [max(1, w) for w in found]


def _console(width: int, *, has_colours: bool) -> Console:
    return Console(
        file=io.StringIO(), width=width, height=100, markup=False, emoji=False,
        highlight=False, legacy_windows=False, force_terminal=has_colours,
        color_system="standard" if has_colours else None, _environ={},
    )  # fmt: skip


def _text_of(console: Console) -> str:
    text = console.file.getvalue()  # type: ignore[attr-defined]  # made above
    return "".join(f"{_without_last_blanks(line)}\n" for line in text.splitlines())


def _without_last_blanks(line: str) -> str:
    """Return a line without last blanks, also before the code that ends a colour."""
    line = line.rstrip(" ")
    if line.endswith(_COLOUR_ENDS):
        return line.removesuffix(_COLOUR_ENDS).rstrip(" ") + _COLOUR_ENDS
    return line
