"""The drawing of structures and boundaries: whole, sound, nothing on top of another."""

import re
from itertools import combinations
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jointmap.register.codes import Verdict
from jointmap.site_map.structures_diagram import (
    BOX_HEIGHT,
    BOX_WIDTH,
    DrawnBoundary,
    structures_svg,
)

SVG = "{http://www.w3.org/2000/svg}"
SHORTED, GOOD = Verdict.SHORTED.code, Verdict.ISOLATING.code


def link(a, b, verdict=GOOD, **more):
    return DrawnBoundary(a, b, f"B{a}-{b}", verdict, verdict == SHORTED, **more)


def boxes(text):
    root = ElementTree.fromstring(text)  # noqa: S314
    return [
        (float(r.get("x")), float(r.get("y")))
        for r in root.iter(f"{SVG}rect")
        if r.get("rx")
    ]


@given(st.integers(1, 12).flatmap(lambda n: st.tuples(
    st.just(n), st.lists(st.tuples(st.integers(0, n - 1), st.integers(0, n - 1)).filter(
        lambda p: p[0] != p[1]), max_size=14) if n > 1 else st.just([]))))  # fmt: skip
def test_any_site_is_drawn_whole_and_no_box_on_another(site):
    count, pairs = site
    names = [f"S{n} & <{n}>" for n in range(count)]
    text = structures_svg(names, [link(a, b) for a, b in pairs], "a site")
    found = boxes(text)
    assert len(found) == count
    for (x1, y1), (x2, y2) in combinations(found, 2):
        assert abs(x1 - x2) >= BOX_WIDTH or abs(y1 - y2) >= BOX_HEIGHT
    titles = re.findall(r"<title>B\d", text)
    assert len(titles) == len(pairs)


def test_the_gap_tells_the_verdict_and_heavy_lines_what_is_one_metal():
    text = structures_svg(
        ["S1", "S2", "S3"], [link(0, 1, SHORTED, is_asked=True), link(1, 2)], "three"
    )
    assert "B0-1, shorted" in text
    assert "B1-2, isolating" in text
    assert text.count('stroke-width="4"') == 1
    assert text.count('stroke-width="3"') == 2
    assert text.count('font-weight="bold"') == 1
    assert 'aria-label="three"' in text


def test_boundaries_of_the_same_two_structures_stand_apart():
    text = structures_svg(["S1", "S2"], [link(0, 1), link(1, 0)], "two")
    places = re.findall(r"translate\(([\d.]+) ", text)
    assert len(set(places)) == 2


@pytest.mark.parametrize("name", ["a very long structure name", "S1"])
def test_a_long_name_is_cut_to_its_box(name):
    text = structures_svg([name], [], "one")
    assert ("…" in text) == (len(name) > 13)


def test_no_structures_is_an_empty_drawing():
    assert boxes(structures_svg([], [], "none")) == []
