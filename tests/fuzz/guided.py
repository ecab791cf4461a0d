"""Coverage-guided inputs for the pure readers: ``python -m tests.fuzz.guided READER``.

``any`` is for all readers in turn, in one process: the first byte chooses.

Bytes in, either a value or ``JointmapError`` out: anything else ends the run with the
input, which becomes a case. The fuzzer (libFuzzer through atheris) keeps what reaches
new branches and changes that further; the same seed makes the same inputs.
"""

import sys
from collections.abc import Callable
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["jointmap"]):
    from jointmap.errors import JointmapError
    from jointmap.exchange import SHEETS, read_drafts, read_file
    from jointmap.exchange.cells import read_cell
    from jointmap.incoming import read_json, read_toml, text_of
    from jointmap.location import epsg_number
    from jointmap.register.same_letters import odd_mark, skeleton
    from jointmap.units import HELD_IN, read_quantity
    from jointmap.wording.problems import lines_of

QUANTITIES = sorted(HELD_IN)
NAMES = [f"{s.name}{s.suffix}" for s in SHEETS.values()]


def file(data: bytes) -> None:
    """Read a file of the sheet that the first byte names, to its drafts."""
    name = NAMES[data[0] % len(NAMES)]
    list(lines_of(read_drafts(read_file(name, data[1:])).refused))


def table(data: bytes) -> None:
    """Read a row whose heading is right: the cells are what is tried."""
    sheet = list(SHEETS.values())[data[0] % len(SHEETS)]
    if sheet.suffix == ".csv":
        head = ",".join(sheet.accepted).encode()
        cells = data[1:].split(b"|")[: len(sheet.accepted)]
        cells += [b""] * (len(sheet.accepted) - len(cells))
        row = b",".join(b'"' + c.replace(b'"', b'""') + b'"' for c in cells)
        read_drafts(read_file(f"{sheet.name}.csv", head + b"\n" + row + b"\n"))


def quantity(data: bytes) -> None:
    """Read a number with its unit."""
    text = data[1:].decode("utf-8", "surrogateescape")
    read_quantity(text, QUANTITIES[data[0] % len(QUANTITIES)])


def cell(data: bytes) -> None:
    """Read one cell of some column."""
    sheet = list(SHEETS.values())[data[0] % len(SHEETS)]
    columns = list(sheet.columns.values())
    if columns:
        text = data[2:].decode("utf-8", "surrogateescape")
        read_cell(columns[data[1] % len(columns)], text)


def settings(data: bytes) -> None:
    """Read a site's settings."""
    read_toml("site.toml", text_of("site.toml", data), "site.bad_settings")


def lines(data: bytes) -> None:
    """Read lines on the map."""
    read_json("lines.geojson", text_of("a", data), "file.not_geojson")
    read_drafts(read_file("lines.geojson", data))


def name(data: bytes) -> None:
    """Compare a name, and read one of a reference system."""
    text = data.decode("utf-8", "surrogateescape")
    odd_mark(text), epsg_number(text)
    if skeleton(skeleton(text)) != skeleton(text):
        raise AssertionError(text)


LINE = (
    b'{"features":[{"properties":{"name":"L"},"geometry":{"type":"LineString",'
    b'"coordinates":[[-41.8,31.4],[-42.0,31.4]]}}]}'
)
# reader -> what it starts from
READERS: dict[Callable[[bytes], None], tuple[bytes, ...]] = {
    file: (b"\x01code,role\nP1,fitter\n", b"\x0e" + LINE, b"\x00code = 'x'\n"),
    table: (b"\x15joint|||||2025-03-01|ohmmeter", b"\x0fJ-1|B-1|East|in duty"),
    quantity: (b"\x00> 999 Mohm", b"\x011-3/8 in", b"\x021,5 V", b"\x031 000,5 ohm"),
    cell: (b"\x01\x002026-05-15", b"\x15\x062025-03-01T09:00:00Z", b"\x10\x021e5"),
    settings: (b'code = "X"\nfixed_day = 2026-05-15\n', b"[a.b]\nc = [1, {d = 2}]\n"),
    lines: (LINE,),
    name: (b"IJ-018", "\u0399J\u200b".encode()),
}


def _tried(reader: Callable[[bytes], None]) -> Callable[[bytes], None]:
    def one(data: bytes) -> None:
        try:
            if len(data) > len("ab"):
                reader(data)
        except JointmapError:
            return

    return one


def any_of_them(data: bytes) -> None:
    """Give what follows the first byte to the reader that the byte names."""
    if data:
        _tried([*READERS][data[0] % len(READERS)])(data[1:])


def begun(word: str) -> tuple[Callable[[bytes], None], tuple[bytes, ...]]:
    """Return what is tried under a name, and what it starts from."""
    if word == "any":
        own = enumerate(READERS.values())
        return any_of_them, tuple(bytes([n]) + s for n, all_ in own for s in all_)
    return next((_tried(r), s) for r, s in READERS.items() if r.__name__ == word)


def main() -> None:
    """Run one reader; the rest of the words are the fuzzer's own."""
    word, corpus, *words = sys.argv[1:]
    tried, starts = begun(word)
    for number, start in enumerate(starts):
        (Path(corpus) / f"start-{number}").write_bytes(start)
    atheris.Setup([sys.argv[0], corpus, *words], tried)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
