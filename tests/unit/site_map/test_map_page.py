"""The page: same input, same bytes; nothing outside; nothing typed becomes markup."""

import dataclasses
import hashlib
import html
import json
import re
import runpy
import subprocess
import sys

import pytest

from jointmap.site_map.page import page
from jointmap.site_map.words import SENTENCES


@pytest.fixture(scope="module")
def sample(root):
    return runpy.run_path(str(root / "tests" / "map_samples.py"))["sample_map"]


@pytest.fixture(scope="module")
def text(sample):
    return page(sample(118))


def settings_of(text):
    found = re.search(r'id="map-settings">(.*?)</script>', text, re.DOTALL)
    return json.loads(found[1])


def test_two_builds_give_equal_text(sample, text):
    assert page(sample(118)) == text


def test_another_process_gives_equal_text(root, text):
    code = (
        "import runpy, hashlib; from jointmap.site_map.page import page;"
        f"make = runpy.run_path({str(root / 'tests' / 'map_samples.py')!r});"
        "print(hashlib.sha256(page(make['sample_map'](118)).encode()).hexdigest())"
    )
    run = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True, text=True, check=True, cwd=root,
        env={"PYTHONHASHSEED": "7", "PATH": ""},
    )  # fmt: skip
    assert run.stdout.strip() == hashlib.sha256(text.encode()).hexdigest()


def test_nothing_is_loaded_from_elsewhere(text):
    assert not re.search(r'<script[^>]*\ssrc=|<link[^>]*href="(?!data:)', text)
    assert not re.search(r"@import|url\((?!data:)[^)]", text.split("<script>")[0])
    assert "sourceMappingURL" not in text
    assert "default-src 'none'" in html.unescape(text[:2000])


def test_a_tag_cannot_become_markup(sample, text):
    assert "<script>alert" not in text
    hostile = "</script><img src=x onerror=alert(1)>"
    data = dataclasses.replace(
        sample(30), site=hostile, fingerprint=hostile, known=hostile,
        area_names=(hostile,) * 5, boundary_names=(hostile,) * 5,
    )  # fmt: skip
    found = page(data)
    assert hostile not in found
    assert "<img" not in found
    assert found.count("</script>") == page(sample(30)).count("</script>")
    assert settings_of(found)["areas"][0] == hostile


def test_page_states_day_knowledge_fingerprint_and_caution(text):
    for words in ("State on 2026-05-15", "as known on 2026-05-15",
                  "entry 41, 9f2c 71aa 03be", "Advises, does not authorise",
                  "<noscript>", "BSD 2-Clause License"):  # fmt: skip
        assert words in text


def test_settings_name_what_the_codes_stand_for(text):
    settings = settings_of(text)
    assert settings["count"] == 118
    assert settings["months"][:2] == ["2026-05", "2026-06"]
    assert settings["months"][-1] == "2028-04"
    assert settings["verdicts"][2] == "shorted"
    assert settings["states"][3] == "past the limit"
    assert len(settings["lines"][0]["ticks"]) == 63


def test_plain_page_is_larger_and_says_so(sample):
    data = sample(2000)
    plain, packed = page(data, plain=True), page(data)
    assert settings_of(plain)["packed"] is False
    assert settings_of(packed)["packed"] is True
    assert len(plain) > len(packed)


def test_page_without_joints_and_of_one_joint(sample):
    assert settings_of(page(sample(0)))["count"] == 0
    assert settings_of(page(sample(1)))["count"] == 1


def test_light_modules_leave_folium_out(root):
    code = (
        "import sys; import jointmap.site_map.glyph, jointmap.site_map.small_maps,"
        "jointmap.site_map.data;"
        "print([m for m in ('folium', 'pandas', 'jinja2') if m in sys.modules])"
    )
    run = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True,
        cwd=root, env={"PATH": ""},
    )  # fmt: skip
    assert run.stdout.strip() == "[]"


def test_every_word_of_the_script_has_a_sentence(root):
    folder = root / "jointmap" / "site_map" / "assets" / "map"
    scripts = "".join(p.read_text(encoding="utf-8") for p in folder.glob("*.js"))
    used = set(re.findall(r'\bsay\("([a-z_]+)"[,)]', scripts))
    used |= {"field_" + f for f in re.findall(r'\["([a-z]+)", ', scripts)
             if "map.field_" + f in SENTENCES}  # fmt: skip
    used |= {"only_suspect", "only_doubt", "only_nowhere"}
    pages = "".join(p.read_text(encoding="utf-8") for p in folder.glob("*.html"))
    used |= set(re.findall(r'w\["map\.([a-z_]+)"\]', pages))
    package = (root / "jointmap" / "site_map").glob("*.py")
    code = "".join(p.read_text(encoding="utf-8") for p in package)
    used |= set(re.findall(r'SENTENCES\["map\.([a-z_]+)"\]', code))
    assert {"map." + name for name in used} == set(SENTENCES)
