"""Hostile text in every text column of every kind: shown everywhere, run nowhere."""

import json
from pathlib import Path
from xml.etree import ElementTree

import pyogrio
import pytest

from jointmap.errors import Refused
from jointmap.plain_text import as_typed, visible
from jointmap.register import FORMS, Instrument
from tests.hostile_pages import (
    Skeleton,
    cells_of,
    is_formula,
    unseen_in,
    without_digests,
    write_all,
)
from tests.hostile_site import READ_AS, hostile_site, probes, text_columns

SUM = "1337"


def found(folder: Path, suffix: str) -> list[Path]:
    files = sorted((folder / "out").rglob(f"*.{suffix}"))
    assert files
    return files


def faults_of(page: Path, allowed: set[tuple[str, str]]) -> list[str]:
    """Return what is wrong with a page: marks, policy, addresses, signs, sums."""
    text, seen = page.read_bytes().decode(), Skeleton(page)
    away = [a for a in seen.addresses if ":" in a and a != "data:,"]
    checks = {
        "elements or attributes": sorted(seen.marks - allowed),
        "policy": [] if seen.policy == seen.expected_policy else [seen.policy],
        "addresses": away,
        "unseen characters": unseen_in(seen.text),
        "something was reckoned": [SUM] if SUM in without_digests(text) else [],
    }
    return [f"{page.name}: {what}: {odd}" for what, odd in checks.items() if odd]


def marks_of(folder: Path) -> set[tuple[str, str]]:
    return {mark for page in found(folder, "html") for mark in Skeleton(page).marks}


def said(folder: Path) -> str:
    """Return what all pages say, the map's own data too."""
    return "\n".join(Skeleton(page).text for page in found(folder, "html"))


def test_there_are_enough_probes_and_every_kind_is_among_the_columns():
    assert len(probes()) >= 60
    assert {kind for kind, _ in text_columns()} == set(FORMS)
    columns = {(k, c.name) for k, form in FORMS.items() for c in form.columns}
    assert set(READ_AS) <= columns


@pytest.mark.parametrize("text", ["a\x00b"])
def test_what_no_record_takes(text):
    with pytest.raises(Refused):
        Instrument(name=text, kind="")


def test_hostile_words_make_no_page_other_than_plain_words_do(hostile, plain):
    allowed = marks_of(plain)
    assert not any(name.startswith("on") or name == "style" for _, name in allowed)
    faults = [f for page in found(hostile, "html") for f in faults_of(page, allowed)]
    assert faults == []


def test_every_page_states_a_policy_without_a_gap(hostile):
    for page in found(hostile, "html"):
        seen = Skeleton(page).policy
        assert seen.startswith(
            "default-src 'none'; base-uri 'none'; form-action 'none'"
        )
        assert "unsafe" not in seen
        # Nothing stands before it that it would have to judge.
        assert page.read_text("utf-8").index("Content-Security-Policy") < 200


def test_every_probe_is_shown_as_typed_or_as_its_codes(hostile):
    text = said(hostile)
    missing = [name for name, own in probes().items() if visible(own) not in text]
    assert missing == []


def test_most_columns_come_to_a_page_so_that_the_check_says_something(hostile):
    text = said(hostile)
    shown = {f"{k}.{c.name}" for k, c in text_columns() if f"{k}.{c.name}" in text}
    assert len(shown) >= 60
    assert {"joint.area", "boundary.name", "line.name", "source.name"} <= shown


def test_no_table_holds_a_formula_or_an_unseen_sign(hostile):
    for path in found(hostile, "csv"):
        cells = cells_of(path)
        assert [c for c in cells if is_formula(c)] == []
        assert unseen_in(path.read_bytes().decode()) == []


def test_drawings_and_plain_data_files_hold_codes(hostile):
    path = hostile / "out" / "joints.geojson"
    names = [f["properties"]["tag"] for f in json.loads(path.read_bytes())["features"]]
    packed = pyogrio.read_dataframe(hostile / "out" / "joints.gpkg")
    assert names == packed["tag"].tolist()
    assert [unseen_in(name) for name in names] == [[], []]
    points = ElementTree.parse(hostile / "out" / "joints.gpx").iter()  # noqa: S314
    assert [p.text for p in points if p.tag.endswith("name")] == names


def test_pdf_sheets_were_made(hostile):
    # A text that typst took for markup would have ended this: #panic is a probe.
    made = found(hostile, "pdf")
    assert len(made) == 3
    assert all(path.read_bytes().startswith(b"%PDF") for path in made)


FAMILIES = sorted({name.partition(".")[0] for name in probes()})


@pytest.mark.parametrize("family", FAMILIES)
def test_each_probe_alone(tmp_path, plain, count, family):
    """At the start of every cell and page: the small run takes one of each family."""
    allowed = marks_of(plain)
    own = {n: text for n, text in probes().items() if n.startswith(f"{family}.")}
    for name in list(own)[: count(1, len(own))]:
        folder = tmp_path / name
        site = hostile_site(folder, own[name])
        write_all(site, folder / "out")
        site.register.close()
        faults = [f for p in found(folder, "html") for f in faults_of(p, allowed)]
        assert (name, faults) == (name, [])
        tables = {p.name: cells_of(p) for p in found(folder, "csv")}
        assert [n for n, cells in tables.items() if any(map(is_formula, cells))] == []
        assert visible(own[name]) in {as_typed(c) for c in tables["joints.csv"]}
