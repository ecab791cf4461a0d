"""The glyph: each verdict and each due state looks different, with no colour too."""

import itertools
import re
import xml.etree.ElementTree as ET

import pytest

from jointmap.register.codes import DueState, Verdict
from jointmap.site_map import glyph as sign
from jointmap.site_map.style import INK, TINTS

PAIRS = list(itertools.product(range(len(Verdict)), range(len(DueState))))
CODES = [(*pair, suspect) for pair in PAIRS for suspect in (False, True)]
RECT = re.compile(
    r'<rect x="(\d+)" y="(\d+)" width="(\d+)" height="(\d+)" fill="(#\w+)"/>'
)


def grey(colour):
    """Return relative luminance by the formula of WCAG 2.1 (from memory)."""
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    linear = [
        p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts
    ]
    return sum(w * p for w, p in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


@pytest.mark.parametrize("size", [10, 12, 16, 22])
def test_every_state_has_its_own_drawing(size):
    drawings = {sign.glyph_group(*code[:2], size, code[2]) for code in CODES}
    assert len(drawings) == len(CODES)


def test_drawings_differ_without_colour():
    plain = {
        re.sub("|".join(set(TINTS) - {"#ffffff", TINTS[2]}), "#ffffff",
               sign.glyph_group(v, d, 10))
        for v, d in PAIRS
    }  # fmt: skip
    assert len(plain) == len(PAIRS)


@pytest.mark.parametrize(("verdict", "state", "suspect"), CODES)
def test_svg_is_well_formed_and_says_it_in_words(verdict, state, suspect):
    root = ET.fromstring(sign.glyph(verdict, state, 16, suspect))  # noqa: S314
    words = f"{list(Verdict)[verdict]}, {list(DueState)[state]}"
    assert root.get("aria-label") == words
    assert root.get("width") == "18"
    assert "id" not in {k for e in root.iter() for k in e.keys()}  # noqa: SIM118


def test_ticks_at_ten_pixels():
    """Ticks and dots are told apart by number and width."""
    below = {}
    for state in range(len(DueState)):
        boxes = RECT.findall(sign.glyph_group(0, state, 10))
        ink = [list(map(int, b[:4])) for b in boxes if b[4] == INK]
        below[state] = [width for _, y, width, _ in ink if y >= 8]
    assert below == {0: [], 1: [2], 2: [8], 3: [3, 3], 4: [1, 1, 1], 5: [1, 1], 6: [1]}


def test_filled_gap_is_dark_and_open_gap_light():
    assert grey(TINTS[0]) > 0.7
    assert grey(TINTS[2]) < 0.15


@pytest.mark.parametrize("tint", [0, 1, 3, 4])
def test_ink_stands_out_from_every_light_fill(tint):
    """At least 3 to 1, as WCAG 1.4.11 asks of graphics (from memory)."""
    assert (grey(TINTS[tint]) + 0.05) / (grey(INK) + 0.05) >= 3


def test_cells_lie_in_four_pixels_and_differ():
    assert len({str(c) for c in sign.CELLS}) == 5
    for cell in sign.CELLS:
        for _, left, top, right, bottom in cell:
            assert 0 <= left < right <= 4
            assert 0 <= top < bottom <= 4


def test_canvas_gets_the_same_shapes():
    data = sign.glyph_data()
    assert len(data["gaps"]) == len(Verdict)
    assert len(data["ticks"]) == len(DueState)
    assert len(data["tints"]) == len(data["cells"]) == len(Verdict)


def test_legend_names_every_verdict_and_state():
    root = ET.fromstring(sign.legend_svg())  # noqa: S314
    text = " ".join(root.itertext())
    assert all(word in text for word in (*Verdict, *DueState, "suspect"))
