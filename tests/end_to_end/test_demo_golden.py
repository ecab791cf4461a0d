"""What the demo prints and writes, against files that are kept."""

import pytest

from tests.command_line import jointmap

PRINTED = {
    "due.txt": ("due",),
    "due-until.txt": ("due", "--until", "2026-05-31"),
    "why-IJ-018.txt": ("why", "IJ-018"),
    "boundary-KP-B03.txt": ("boundary", "KP-B03"),
    "dossier-IJ-018.txt": ("dossier", "IJ-018"),
    "held.txt": ("waiting",),
}
WRITTEN = ("dossiers/IJ-018.html", "months/2026-06/2026-06-01-east.html", "held.html")


@pytest.mark.parametrize("name", PRINTED)
def test_printed(demo, golden, name):
    command, *more = PRINTED[name]
    # As wide as where nobody says how wide.
    ran = jointmap(command, demo / "site", *more, COLUMNS="")
    assert ran.code == (1 if command == "waiting" else 0)
    golden(f"end_to_end/{name}", ran.out)


@pytest.mark.parametrize("name", WRITTEN)
def test_written(pages, golden, name):
    text = (pages / name).read_text(encoding="utf-8")
    golden(f"end_to_end/{name.rsplit('/', 1)[-1]}", text)
