"""Each option and argument that takes a path, pointed at every file of the site.

They are taken from the tree of commands itself, so that a new one cannot be forgotten:
one without a line in ``WORDS`` fails.
"""

import os
import shutil
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from jointmap.cli import main
from jointmap.cli.making import publish
from tests.command_line import COMMANDS
from tests.small_site import SHEETS as SMALL
from tests.small_site import write

pytestmark = pytest.mark.unmeasured

WHO = "--by T1 --reason why"
SHEETS = {"people.csv": "code,role\nT2,field technician\n"}
# The other words of each command; {x} is where the path goes.
WORDS = {
    "boundary --out": "boundary {site} B-1 --out {x}",
    "dossier --out": "dossier {site} J-1 --out {x}",
    "map --out": "map {site} --out {x}",
    "month --out": "month {site} 2026-06 --on 2026-05-15 --out {x}",
    "export --out": "export {site} --out {x}",
    "publish --out": "publish {site} --out {x}",
    "worksheet --out": "worksheet {site} J-1 --out {x}",
    "handover --out": "handover {site} --out {x}",
    "model predicted --out": "model predicted {site} --out {x}",
    "backup --out": "backup {site} --out {x}",
    "demo out": "demo {x}",
    "new site": "new {x} --code NTH",
    "restore site": "restore {backup} {x}",
    "restore file": "restore {x} {new}",
    "load files": "load {site} {x} --by T1 --reason why",
    "change attach file": "change attach {site} {x} --to joint J-1 --by T1"
    " --reason why",
    "model learn --errors": "model learn {site} --errors {x}",
    "model learn --targets": "model learn {site} --targets {x}",
    "new --database": "new {new} --code NTH --database {x}",
    "restore --database": "restore {backup} {new} --database {x}",
}
# Commands that only read a site, by the words that follow it.
READING = {
    "due": "", "why": "J-1", "boundary": "", "dossier": "J-1", "findings": "",
    "waiting": "", "rules list": "",
    "month": "2026-06 --out {new}", "map": "--out {new}", "export": "--out {new}.csv",
    "publish": "--out {new}", "worksheet": "J-1 --out {new}", "verify": "",
    "handover": "--out {new}", "backup": "--out {new}", "model learn": "",
    "rules try": "", "model early": "", "model predicted": "--out {new}", "upgrade": "",
    "load": "{sent} --by T1 --reason why",
    "change correct": "joint J-1 --set remark=x --by T1 --reason why",
    "change alter": "joint J-1 --set is_buried=yes --by T1 --reason why",
    "change rename": "J-1 K-1 --by T1 --reason why",
    "change replace": "J-1 --by T1 --reason why",
    "change retire": "J-1 --how cut --by T1 --reason why",
    "change join": "B-1 --authority x --by T1 --reason why",
    "change defer": "J-1 --until 2026-06-01 --authority x --by T1 --reason why",
    "change attach": "{sent} --to joint J-1 --by T1 --reason why",
    "change seen": "1 --by A1 --reason why",
}  # fmt: skip
# What a place in the site may be called, by way of what it leads there.
INSIDE = [
    "site/site.toml", "site/register.sqlite", "site/register.sqlite-journal",
    "site/register.sqlite-wal", "site/REGISTER.SQLITE", "site/templates/joints.csv",
    "site/attachments/new", "site/models/m.json", "site/templates", "site/new.csv",
    "site", "site/templates/../site.toml", "to_site/register.sqlite", "to_register.csv",
    "to_site", "to_register.html", "other/site.toml", "other/register.sqlite",
]  # fmt: skip
OUTPUTS = [name for name in WORDS if name.endswith((" --out", "demo out", " site"))]


def path_words():
    """Every option and argument of every command that takes a path."""
    for name, command in COMMANDS.items():
        for param in command.params:
            if isinstance(param.type, click.Path) or param.name == "database":
                opts = [o for o in param.opts if o.startswith("--")]
                yield f"{name} {opts[0] if opts else param.name}"


def test_no_path_is_forgotten():
    found = set(path_words())
    known = set(WORDS) | {f"{name} site" for name in READING}
    assert found == known
    assert isinstance(publish.params[0].type, click.Path)


@pytest.fixture(scope="module")
def start(loaded, tmp_path_factory):
    """The small site with a file of each kind in it, and another one beside it."""
    folder = tmp_path_factory.mktemp("places")
    site = Path(shutil.copytree(loaded, folder / "site"))
    note = write(folder / "sent", SHEETS | {"note.txt": "seen"}) / "note.txt"
    run(f"change attach {site} {note} --to joint J-1 --by T1 --reason why")
    note.unlink()
    (site / "models").mkdir()
    (site / "models" / "m.json").write_text("{}")
    shutil.copytree(loaded, folder / "other")
    run(f"backup {site} --out {folder / 'backup.zip'}")
    (folder / "letter.csv").write_text("mine\n")
    return folder


@pytest.fixture
def place(start, tmp_path):
    shutil.copytree(start, tmp_path / "p")
    here = tmp_path / "p"
    (here / "to_site").symlink_to(here / "site")
    (here / "to_register.csv").symlink_to(here / "site" / "register.sqlite")
    (here / "to_register.html").symlink_to(here / "site" / "register.sqlite")
    return here


def run(words):
    """Run a command in this process; a fault of its own is a fault of the test."""
    done = CliRunner().invoke(main, words.split())
    assert "fault of its own" not in done.output, f"{words}\n{done.output}"
    return done


def tree(folder):
    """Every file below a folder with its bytes; links as where they lead."""
    files = (p for p in folder.rglob("*") if p.is_symlink() or not p.is_dir())
    return {
        str(p.relative_to(folder)): p.readlink() if p.is_symlink() else p.read_bytes()
        for p in files
    }


def filled(words, here, x):
    places = {"site": here / "site", "backup": here / "backup.zip", "x": x}
    return words.format(**places, sent=here / "sent", new=here / "new")


def same(before, place, told, but=()):
    """All is as it was, but for what a command may legitimately have written."""
    after = tree(place)
    changed = {n for n in before | after if before.get(n) != after.get(n)}
    assert {n for n in changed if not n.startswith(tuple(but))} == set(), told


def takes_force(name):
    params = COMMANDS[name.rpartition(" ")[0]].params
    return any("--force" in p.opts for p in params)


FORCED = [(n, f) for n in OUTPUTS for f in ("", "--force") if takes_force(n) or not f]


# Of what writes one file; the others write a folder.
ENDINGS = {
    **dict.fromkeys(("boundary --out", "dossier --out", "map --out"), ".html"),
    "model predicted --out": ".html",
    "export --out": ".csv",
}


@pytest.mark.parametrize(("name", "force"), FORCED)
def test_no_output_lands_among_a_sites_files(place, name, force):
    before = tree(place)
    for target in INSIDE:
        words = filled(WORDS[name], place, place / target)
        done = run(f"{words} {force}")
        assert (done.exit_code, bool(done.output.strip())) == (2, True), done.output
        same(before, place, words)


@pytest.mark.parametrize("name", [n for n in OUTPUTS if takes_force(n)])
def test_what_others_wrote_is_replaced_only_by_force(place, name):
    letter = place / f"letter{ENDINGS.get(name, '')}"
    letter.write_text("mine\n")
    before, words = tree(place), filled(WORDS[name], place, letter)
    done = run(words)
    assert done.exit_code == 2, done.output
    same(before, place, words)
    done = run(f"{words} --force")
    told = "replaced 5 bytes that jointmap had not written" in done.output
    is_folder = "is a file; name a folder" in done.output
    assert (done.exit_code, told, is_folder) in {(2, False, True), (0, True, False)}


@pytest.mark.parametrize("name", ["publish", "month", "handover"])
def test_a_folder_of_others_is_never_published_over(place, name):
    for folder in (place, place / "sent", Path.home(), Path("/")):
        words = filled(WORDS[f"{name} --out"], place, folder)
        before = tree(place)
        assert run(words).exit_code == run(f"{words} --force").exit_code == 2, words
        same(before, place, words)


@pytest.mark.parametrize("name", READING)
def test_what_is_no_site_is_no_site(place, name):
    before, others = tree(place), [t for t in INSIDE if "to_site" not in t]
    for target in others:
        if target in {"site", "site/site.toml/.."}:
            continue
        x = place / target
        words = f"{name} {x} {filled(READING[name], place, x)}"
        done = run(words)
        assert (done.exit_code, bool(done.output.strip())) == (2, True), words
        same(before, place, words)


@pytest.mark.parametrize(
    "name", [n for n in WORDS if n not in OUTPUTS and not n.endswith("--database")]
)
def test_what_is_read_is_never_changed(place, name):
    """What is in the site may be read; nothing but the register may grow from it."""
    before = tree(place)
    # Learning comes before its tables are read, and takes a while.
    for target in INSIDE[:2] if name.startswith("model learn") else INSIDE:
        words = filled(WORDS[name], place, place / target)
        done = run(words)
        assert done.exit_code in {0, 2, 3}, done.output
        may = (
            "site/register.sqlite",
            "same_register",
            "site/attachments",
            "site/shown",
        )
        same(before, place, words, may if done.exit_code == 0 else ())
        if done.exit_code == 0:
            assert name in {"load files", "change attach file"}, words
            assert run(f"verify {place / 'site'}").exit_code == 0
            before = tree(place)


@pytest.mark.parametrize("name", ["new --database", "restore --database"])
def test_a_file_is_no_address_of_a_server(place, name):
    before = tree(place)
    for target in ("site/register.sqlite", "other/register.sqlite", "letter.csv"):
        for scheme in ("", "sqlite:///"):
            done = run(filled(WORDS[name], place, f"{scheme}{place / target}"))
            assert done.exit_code in {2, 3, 4}, (target, done.output)
            same(before, place, target)


@pytest.mark.parametrize("name", ["map --out", "export --out", "publish --out"])
@pytest.mark.parametrize(
    ("target", "says"),
    [
        ("none/x", "there is no folder"),
        ("letter.csv/x", ""),
        ("/dev/full", ""),
        ("../p/site/x", "lies in the site folder"),
    ],
)
def test_a_place_that_cannot_be(place, name, target, says):
    out = f"{place / target}{ENDINGS.get(name, '') if target.endswith('x') else ''}"
    if name == "publish --out" and target == "none/x":
        assert run(filled(WORDS[name], place, out)).exit_code == 0
        return
    before = tree(place)
    done = run(filled(WORDS[name], place, out))
    assert done.exit_code in {2, 3}
    assert len(done.output.strip().splitlines()) == 1
    assert says in done.output
    same(before, place, target)


def test_registers_and_backups_are_private(start):
    """Also where the mask of the user would let everybody read."""
    mask = os.umask(0)
    try:
        run(f"new {start / 'open'} --code OPN")
        letter = start / "letter.csv"
        run(f"change attach {start / 'site'} {letter} --to joint J-2 {WHO}")
        run(f"restore {start / 'backup.zip'} {start / 'again'}")
        run(f"backup {start / 'site'} --out {start / 'private.zip'}")
    finally:
        os.umask(mask)
    files = [start / "private.zip"]
    for site in ("open", "site", "again"):
        assert (start / site).stat().st_mode & 0o777 == 0o700
        files += [start / site / "register.sqlite", start / site / "site.toml"]
        files += (p for p in (start / site / "attachments").rglob("*") if p.is_file())
    assert len(files) == 10
    assert (start / "open" / "templates").stat().st_mode & 0o777 == 0o700
    files += (start / "open" / "templates").iterdir()
    assert {f.stat().st_mode & 0o777 for f in files} == {0o600}


def test_pages_of_another_site_stay(place):
    """A publish of one site over the pages of another, and of its months in them."""
    pages, other = place / "pages", place / "elsewhere" / "site"
    run(f"new {other} --code OTH")
    own = SMALL["this_site.toml"].replace('"SML"', '"OTH"')
    (place / "this_site.toml").write_text(own)
    (place / "people.csv").write_text("code,role\nT1,register keeper\n")
    who = "--by T1 --reason why"
    run(f"load {other} {place / 'this_site.toml'} {place / 'people.csv'} {who}")
    assert run(f"publish {place / 'site'} --out {pages}").exit_code == 0
    before = tree(pages)
    for words in (
        f"publish {other} --out {pages}",
        f"month {other} 2026-06 --on 2026-05-15 --out {pages / 'months' / '2026-06'}",
    ):
        done = run(words)
        assert done.exit_code == 2, done.output
        assert "SML" in done.output
        assert "OTH" in done.output
        assert tree(pages) == before
    assert "--force" in run(f"publish {other} --out {pages}").output
    done = run(f"publish {other} --out {pages} --force")
    assert (done.exit_code, "pages of site SML" in done.output) == (0, True)
    assert run(f"publish {other} --out {pages}").exit_code == 0
