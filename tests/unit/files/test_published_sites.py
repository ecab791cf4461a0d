"""A published folder is of one site; another one's pages take its place by force."""

import json

import pytest

from jointmap.errors import WrongUse
from jointmap.files import publishing
from jointmap.files.manifest import SiteMark, read_manifest
from jointmap.files.names import MANIFEST
from tests.published_folders import (
    NEW_PAGES,
    OLD_PAGES,
    OURS,
    alone,
    as_bytes,
    put,
    tree,
)

THEIRS, SAME_CODE = SiteMark("S2", "1-bb"), SiteMark("S1", "1-bb")


@pytest.fixture
def out(tmp_path):
    assert put(tmp_path / "out" / "pages", OLD_PAGES) == []
    return tmp_path / "out" / "pages"


@pytest.mark.parametrize("other", [THEIRS, SAME_CODE])
def test_pages_of_another_site_are_replaced_only_by_force(out, other):
    before = tree(out)
    with pytest.raises(WrongUse, match=r"output\.other_site") as refused:
        put(out, NEW_PAGES, site=other)
    told = refused.value.problems[0].values
    assert (told["found"], told["site"]) == (OURS.shown(other), other.shown(OURS))
    assert told["found"] != told["site"]
    assert tree(out) == before
    alone(out)
    assert put(out, NEW_PAGES, site=other, force=True) == ["output.replaced_site"]
    assert tree(out) == as_bytes(NEW_PAGES)
    assert read_manifest(out).site == other
    assert put(out, NEW_PAGES, site=other) == []


def test_a_list_that_names_no_site_is_taken_over(out):
    told = json.loads((out / MANIFEST).read_text())
    del told["site"]
    (out / MANIFEST).write_text(json.dumps(told))
    assert read_manifest(out).site is None
    assert put(out, NEW_PAGES, site=THEIRS) == []
    assert read_manifest(out).site == THEIRS


def test_nothing_is_published_within_the_pages_of_another_site(out):
    before = tree(out)
    for force in (False, True):
        with pytest.raises(WrongUse, match=r"output\.in_other_site"):
            put(
                out / "months" / "2026-06", NEW_PAGES, "month", site=THEIRS, force=force
            )
    assert tree(out) == before
    alone(out)


def test_months_of_another_site_stay_and_are_told_but_not_linked(out):
    put(out / "months" / "2026-06", {"index.html": "june"}, "month")
    with publishing(out, "pages", THEIRS, force=True) as folder:
        assert folder.nested("months", "month") == {}
        folder.put(NEW_PAGES.items(), "2-y")
    told = [(p.id, p.values.get("name")) for p in folder.told]
    assert told == [
        ("output.replaced_site", None),
        ("output.other_within", "months/2026-06"),
    ]
    month = as_bytes({"months/2026-06/index.html": "june"})
    assert tree(out) == as_bytes(NEW_PAGES) | month
