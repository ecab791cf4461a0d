"""Wrong use through the real command line: exit 2 or 3, and what would be accepted."""

import os
import subprocess
import sys

import pytest

from tests.command_line import ROOT, as_process, jointmap
from tests.small_site import SHEETS, WHO, load


@pytest.mark.parametrize(
    "settings",
    [
        "code = ",
        "code = 5",
        "name = 'x'",
        "code = 'SML'\ndatabase = 5",
        "code = 'SML'\nfixed_day = 'soon'",
        "code = 'SML'\nfixed_day = 2026-05-15T10:00:00",
    ],
)
def test_broken_settings(site, settings):
    (site / "site.toml").write_text(settings, encoding="utf-8")
    ran = jointmap("due", site)
    assert ran.code == 3
    assert ran.err.startswith("site.toml: cannot be read (")


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("new", "SITE", "--code", "X"), 2, "holds a site already; name an empty"),
        (("new", "x", "--code", ""), 2, "accepted for --code: 1 to 40 letters"),
        (("new", "x", "--code", "../../x"), 2, "letters, digits and hyphens"),
        (("new", "x", "--code", "<b>'; drop"), 2, "letters, digits and hyphens"),
        (("new", "x", "--code=-X"), 2, "no hyphen first"),
        (("new", "x", "--code", "A B"), 2, "letters, digits and hyphens"),
        (("boundary", "SITE", "--if-shorts", "J-1", "--halve", "S1"), 2, "one of them"),
        (("boundary", "SITE", "--halve", "S1", "--out", "x.html"), 2, "one of them"),
        (("boundary", "SITE", "B-1", "--if-shorts", "J-1"), 2, "accepted: no NAME"),
        (("map", "SITE", "--out", "/dev/stdout"), 2, "is a device, a pipe or the"),
        (("map", "SITE", "--out", "/proc/self/fd/1"), 2, "is a device, a pipe or the"),
        (("publish", "SITE", "--out", "/dev/null"), 2, "is a device, a pipe or the"),
        (("new", "x", "--code", "A\x1bB"), 2, "accepted for --code"),
        (("new", "x", "--code", "A\u200bB"), 2, "accepted for --code"),
        (("new", "x", "--code", "\ue000"), 2, "accepted for --code"),
        (("new", "x", "--code", "X" * 41), 2, "accepted for --code"),
        (("new", "x", "--code", "X", "--database", "sqlite:////x/y"), 2, "of a server"),
        (("demo", "PARENT"), 2, "holds a site already"),
        (("due", "PARENT"), 2, "is no site folder"),
        (("month", "SITE", "2026-13", "--out", "x"), 2, "accepted: year-month"),
        (("why", "SITE", "J-3"), 2, "no joint (tag or older name), boundary or parallel"
         " path has the name J-3; nearest: joint J-"),
        (("why", "SITE", "B-12"), 2, "nearest: boundary B-1, joint J-"),
        (("findings", "SITE", "B-12"), 2, "boundary, parallel path, structure or"
         " source has the name B-12; nearest: boundary B-1,"),
        (("findings", "SITE", "S12"), 2, "has the name S12; nearest: structure S1,"),
        (("dossier", "SITE", "1-J"), 2, "no joint has the tag or the older name 1-J;"),
        (("dossier", "SITE", "B-1"), 2, "is the name of a boundary; nearest: J-"),
        (("boundary", "SITE", "B-9"), 2, "no boundary has the name B-9; nearest: B-1"),
        (("boundary", "SITE", "J-1"), 2, "it is the name of a joint; nearest: B-1"),
        (("boundary", "SITE", "Plant"), 2, "it is the name of a structure; near"),
        (("due", "SITE", "--on", "15.05.2026"), 2, "accepted: 2026-05-15"),
        (("due", "SITE", "--known", "2000-01-01"), 2, "nothing was recorded"),
        (("load", "SITE", "", *WHO), 2, "FILES: an empty text is no path; accepted: a"),
        (("new", "x", "--code", "X", "--database", ""), 2, "--database: an empty text"),
        (("load", "SITE", *WHO), 2, "name files, or a folder"),
        (("load", "SITE", "SITE/site.toml", *WHO), 3, "does not say what sheet"),
        (("load", "SITE", "x.csv", "--by", " ", "--reason", "r"), 2, "not be blank"),
        (("waiting", "SITE", "--accept", "1"), 2, "needs --by and --reason"),
        (("waiting", "SITE", "--accept", "1", *WHO), 2, "there is no line 1"),
        (("waiting", "SITE", "--accept", "1", "--refuse", "1", *WHO), 2, "not both"),
        (("due",), 2, "Missing argument 'SITE'"),
        (("inspect", "SITE"), 2, "No such command"),
    ],
)  # fmt: skip
def test_wrong_use(loaded, words, code, says):
    places = {
        "SITE": loaded,
        "PARENT": loaded.parent,
        "SITE/site.toml": loaded / "site.toml",
    }
    # What is printed by a process goes into a pipe; here it goes into a file.
    run = as_process if {"/dev/stdout", "/proc/self/fd/1"} & {*words} else jointmap
    ran = run(*(places.get(w, w) for w in words))
    assert ran.code == code
    assert says in ran.err


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (
            "time_zone = 'Nowhere/Land'",
            "column time_zone, value 'Nowhere/Land': no time zone",
        ),
        ("time_zone = '../x'", "column time_zone, value '../x'"),
        ("working_crs = 'EPSG:4326'", "column working_crs, value 'EPSG:4326'"),
        ("working_crs = 'plan'", "column working_crs, value 'plan'"),
        ("code = 'OTH'", "column code, value 'OTH': this is the folder of site SML"),
    ],
)
def test_site_record_that_would_stop_every_command(tmp_path, line, says):
    word = line.split()[0]
    own = SHEETS["this_site.toml"].splitlines()
    text = "\n".join([line, *(x for x in own if not x.startswith(word))])
    site = tmp_path / "site"
    jointmap("new", site, "--code", "SML")
    ran = load(site, {"this_site.toml": text, "people.csv": SHEETS["people.csv"]})
    assert ran.code == 3
    assert "this_site.toml, line 1, " + says in ran.err


def test_without_a_site_record(tmp_path):
    site = tmp_path / "site"
    assert jointmap("new", site, "--code", "A-B").code == 0
    ran = load(site, {"people.csv": SHEETS["people.csv"]})
    assert (ran.code, ran.out) == (2, "")
    assert "load this_site.toml first" in ran.err


@pytest.mark.skipif(sys.platform == "win32", reason="no limit of the size of files")
@pytest.mark.parametrize("ending", ["gpkg", "geojson", "gpx", "csv"])
def test_an_export_that_cannot_be_written_is_told_and_leaves_nothing(
    loaded, tmp_path, ending
):
    before = {p.name for p in loaded.parent.iterdir()}
    done = short_of_room("1", "export", loaded, "--out", tmp_path / f"out.{ending}")
    assert done.returncode == 3, done
    assert "fault of its own" not in done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert list(tmp_path.iterdir()) == []
    assert {p.name for p in loaded.parent.iterdir()} == before


@pytest.mark.skipif(sys.platform == "win32", reason="no limit of the size of files")
@pytest.mark.parametrize("blocks", ["1", "8", "300"])
def test_a_backup_for_which_there_is_no_room_names_its_own_place(
    loaded, tmp_path, blocks
):
    """Also where room ends while the register is copied, of which there is plenty."""
    done = short_of_room(blocks, "backup", loaded, "--out", tmp_path / "b.zip")
    assert done.returncode == 3, done
    assert len(done.stderr.splitlines()) == 1
    assert str(tmp_path / "b.zip") in done.stderr
    assert "register.sqlite" not in done.stderr
    assert list(tmp_path.iterdir()) == []


def short_of_room(blocks, *words):
    """Run a command that may write files of so many half KiB."""
    script = f'ulimit -f {blocks}; exec "$@"'
    # Measuring coverage writes a file too, and would tell that it cannot.
    plain = {k: v for k, v in os.environ.items() if not k.startswith("COV")}
    command = [sys.executable, "-m", "jointmap.cli", *words]
    return subprocess.run(
        ["sh", "-c", script, "sh", *command],
        capture_output=True,
        encoding="utf-8",
        check=False,
        cwd=ROOT,
        env=plain,
    )
