"""Copies for pages hold what can be seen and nothing else, within bounds."""

import datetime as dt
import io
import re
from xml.etree import ElementTree

import pytest
from PIL import Image

from jointmap.errors import Refused
from jointmap.pictures import SHOWN, camera_place, kind_of, rebuilt
from jointmap.pictures import raster as raster_module
from jointmap.pictures.allowed import ELEMENTS, GEOMETRY, PRESENTATION
from tests.pictures_made import (
    ACCEPTED,
    CARRIERS,
    NOT_REBUILT,
    PNG,
    camera,
    dots,
    drawing,
    photo,
    written,
)

# The child in which these run says nothing of what a library warns of.
pytestmark = pytest.mark.filterwarnings("ignore::UserWarning:PIL")
SPACE = "{http://www.w3.org/2000/svg}"


def copy_of(folder, data):
    (folder / "x").write_bytes(data)
    return rebuilt(folder / "x", kind_of(folder / "x").media_type)


def place_of(folder, data):
    (folder / "x").write_bytes(data)
    return camera_place(folder / "x", kind_of(folder / "x").media_type)


def picture(data):
    return Image.open(io.BytesIO(data), formats=["JPEG"])


BROKEN = {"png of a bomb", "png cut short", "jpeg cut short"}
RASTER = [n for n, (_, kind) in ACCEPTED.items() if kind in SHOWN and "svg" not in kind]


@pytest.mark.parametrize("name", [n for n in RASTER if n not in BROKEN])
def test_a_picture_is_made_anew_of_its_dots(tmp_path, name):
    copy = copy_of(tmp_path, ACCEPTED[name][0])
    for data in (copy.page, copy.small):
        made = picture(data)
        assert made.size == (60, 40)
        assert not made.getexif()
        assert {"comment", "exif", "icc_profile"} & made.info.keys() == set()
        assert b"script" not in data
        assert b"PK" not in data
    grey = picture(copy.page).convert("L")
    dark, light = grey.getpixel((5, 5)), grey.getpixel((55, 35))
    assert dark < light or name == "see-through"


@pytest.mark.parametrize("name", sorted(BROKEN))
def test_of_a_broken_picture_no_copy_is_made(tmp_path, name):
    with pytest.raises((Refused, OSError)):
        copy_of(tmp_path, ACCEPTED[name][0])


def test_only_the_first_of_several_pictures_is_shown(tmp_path):
    for name in ("moving webp", "tiff of two"):
        assert copy_of(tmp_path, ACCEPTED[name][0]).notes == ("first_only",)


@pytest.mark.parametrize("orientation", [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 700])
def test_a_picture_is_turned_as_the_camera_was(tmp_path, orientation):
    data = written(dots(), "JPEG", exif=camera(orientation=orientation))
    made = picture(copy_of(tmp_path, data).page).convert("L")
    assert made.size == ((40, 60) if orientation in (5, 6, 7, 8) else (60, 40))
    # Where the dark corner goes: Exif 2.3 (CIPA DC-008-2012), table of orientations.
    corner = {2: (1, 0), 3: (1, 1), 4: (0, 1), 6: (1, 0), 7: (1, 1), 8: (0, 1)}
    x, y = corner.get(orientation, (0, 0))
    width, height = made.size
    spot = made.getpixel((5 + x * (width - 10), 5 + y * (height - 10)))
    assert spot < 60


def test_copies_have_their_bounds(tmp_path, monkeypatch):
    noise = Image.effect_noise((2000, 1500), 200).convert("RGB")
    copy = copy_of(tmp_path, written(noise, "PNG", compress_level=1))
    assert max(picture(copy.page).size) <= 1600
    assert max(picture(copy.small).size) <= 320
    assert len(copy.page) <= 600_000
    assert len(copy.small) <= 40_000
    monkeypatch.setattr(raster_module, "MOST_DOTS", 1000)
    with pytest.raises(Refused, match="too_many_dots"):
        copy_of(tmp_path, PNG)


def test_a_line_of_dots_stays_a_picture(tmp_path):
    copy = copy_of(tmp_path, written(dots(9000, 2), "PNG"))
    assert picture(copy.small).size == (320, 1)


@pytest.mark.parametrize("name", CARRIERS)
def test_a_drawing_holds_only_what_is_listed(tmp_path, name):
    copy = copy_of(tmp_path, CARRIERS[name])
    text = copy.page.decode()
    root = ElementTree.fromstring(text)  # noqa: S314 - what was just made
    assert root.find(f"{SPACE}rect") is not None, "what can be seen is still there"
    for element in root.iter():
        assert element.tag.removeprefix(SPACE) in ELEMENTS
        assert element.attrib.keys() <= GEOMETRY | PRESENTATION | {"href"}
        assert all("picture.invalid" not in v for v in element.attrib.values())
        assert element.get("href", "#").startswith("#")
    assert "<script" not in text
    assert not re.search(r"<[^>]*\son\w+=", text)
    assert copy_of(tmp_path, copy.page).page == copy.page, "made anew it is the same"


@pytest.mark.parametrize("name", NOT_REBUILT)
def test_of_a_bomb_no_copy_is_made(tmp_path, name):
    with pytest.raises(Refused, match="picture"):
        copy_of(tmp_path, NOT_REBUILT[name])


def test_what_is_left_out_of_a_drawing_is_named(tmp_path):
    marker = '<path d="M1 1h9" style="fill:none;mask:url(#m);stroke : red"/>'
    copy = copy_of(tmp_path, drawing(f"{marker}<metadata/><marker/>", 'class="a"'))
    assert copy.notes == ("marker", "mask")
    assert b'<path d="M1 1h9" fill="none" stroke="red"/>' in copy.page


def test_parts_of_a_drawing_are_drawn_with(tmp_path):
    inside = (
        '<defs><linearGradient id="g"><stop offset="0"/></linearGradient></defs>'
        '<rect width="9" height="9" fill="url(#g)"/><use xlink:href="#g"/>'
    )
    page = copy_of(tmp_path, drawing(inside)).page
    assert b'fill="url(#g)"' in page
    assert b'<use href="#g"/>' in page


def test_a_camera_says_where_it_was(tmp_path):
    found = place_of(tmp_path, photo())
    assert (found.latitude_deg, found.longitude_deg) == (31.4, -41.9)
    assert found.taken_on == dt.date(2026, 4, 2)
    assert found.taken_at == dt.datetime(2026, 4, 2, 9, 31, 7, tzinfo=dt.UTC)
    assert place_of(tmp_path, PNG) is None
    assert place_of(tmp_path, b"a note") is None


ODD = {
    "beyond the pole": {"latitude": (91, 0, 0)},
    "two numbers": {"latitude": (31, 24)},
    "no side": {"sides": ("N", "")},
    "another side": {"sides": ("E", "W")},
    "nowhere": {"latitude": (0, 0, 0), "longitude": (0, 0, 0)},
}


@pytest.mark.parametrize("name", ODD)
def test_odd_places_are_none(tmp_path, name):
    assert place_of(tmp_path, photo(**ODD[name])) is None


@pytest.mark.parametrize("taken", ["", "0000:00:00", "1970:01:01", "<b>", "9999:12:31"])
def test_odd_days_are_none(tmp_path, taken):
    assert place_of(tmp_path, photo(taken=taken)).taken_on is None


def test_facts_of_a_camera_that_cannot_be_read_are_none(tmp_path):
    data = photo()
    at = data.index(b"Exif\x00\x00") + 14
    for spoilt in (data[:at] + b"\xff" * 200 + data[at + 200 :], data[: at + 20]):
        (tmp_path / "x").write_bytes(spoilt)
        assert camera_place(tmp_path / "x", "image/jpeg") is None
