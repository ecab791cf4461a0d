"""What is printed: no byte acts on a terminal, no text ends a line of the program's."""

import io
import json
import os
import subprocess
import sys

import pytest
from click.testing import CliRunner

from jointmap.cli import main
from jointmap.cli.terminal import VisibleStream
from jointmap.plain_text import visible
from jointmap.register import Joint
from jointmap.workflows.opening import open_site
from tests.command_line import ROOT, jointmap
from tests.hostile_pages import cells_of, is_formula, unseen_in, without_digests
from tests.hostile_site import probes
from tests.opened_site import opened
from tests.small_site import WHO, load

ON = ("--on", "2026-05-15")
# Each with the exit codes that are its own; TAG and BOUNDARY stand for hostile names.
COMMANDS = (
    ("due", "SITE", *ON),
    ("due", "SITE", *ON, "--format", "csv"),
    ("due", "SITE", *ON, "--format", "json"),
    ("why", "SITE", "TAG", *ON),
    ("boundary", "SITE", *ON),
    ("boundary", "SITE", "BOUNDARY", *ON),
    ("boundary", "SITE", "--if-shorts", "TAG", *ON),
    ("boundary", "SITE", "--halve", "STRUCTURE", *ON),
    ("dossier", "SITE", "TAG", *ON),
    ("findings", "SITE", *ON),
    ("findings", "SITE", "TAG", *ON),
    ("findings", "SITE", "--only", "design", *ON),
    ("waiting", "SITE"),
    ("findings", "SITE", "--only", "late", "--days", "1"),
    ("findings", "SITE", "--only", "late", "--days", "1", "--format", "csv"),
    ("model", "early", "SITE", *ON),
    ("rules", "try", "SITE", *ON),
    ("verify", "SITE"),
    ("verify", "SITE", "--record", "joint", "TAG"),
    ("why", "SITE", "no such TAG", *ON),
    ("boundary", "SITE", "no such BOUNDARY", *ON),
    ("change", "correct", "SITE", "joint", "TAG", "--set", "TAG", *WHO),
    ("TAG", "SITE"),
    ("due", "SITE", "--on", "TAG"),
    ("due", "SITE", "--format", "TAG"),
    ("load", "SITE", "TAG", *WHO),
    ("month", "SITE", "TAG", "--out", "x"),
)


@pytest.fixture(scope="module")
def words(hostile, all_probes):
    names = {
        "TAG": "joint.tag",
        "BOUNDARY": "boundary.name",
        "STRUCTURE": "structure.name",
    }
    said = {word: f"{all_probes} {column}" for word, column in names.items()}
    return {"SITE": str(hostile / "site"), **said}


def made(folder):
    site = opened(folder)
    site.register.close()
    return site.path


def run(words, command):
    given = []
    for part in command:
        for word, text in words.items():
            part = part.replace(word, text)  # noqa: PLW2901
        given.append(part)
    return CliRunner().invoke(main, given)


@pytest.mark.parametrize("command", COMMANDS, ids=" ".join)
def test_no_command_prints_what_acts_on_it(words, command, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    ran = run(words, command)
    assert ran.exit_code in {0, 1, 2, 3, 4}
    assert unseen_in(ran.output) == []
    forged = [line for line in ran.output.splitlines() if line.startswith("FORGED")]
    assert forged == []
    assert "fault of its own" not in ran.output


def test_json_keeps_every_character(words):
    listed = json.loads(run(words, ("due", "SITE", *ON, "--format", "json")).output)
    assert words["TAG"] in {row["subject"] for row in listed}


def test_printed_tables_hold_no_formula(words, tmp_path):
    for command in (COMMANDS[1], COMMANDS[14]):
        path = tmp_path / "printed.csv"
        path.write_text(run(words, command).stdout, "utf-8")
        cells = cells_of(path)
        assert len(cells) > 20
        assert [c for c in cells if is_formula(c)] == []


@pytest.mark.parametrize("name", sorted(probes()))
def test_stream_shows_each_probe_on_the_program_s_own_line(name):
    text = probes()[name]
    out = io.StringIO()
    stream = VisibleStream(out)
    assert stream.write(f"{text}\n") == len(text) + 1
    assert unseen_in(out.getvalue()) == []
    assert out.getvalue().replace("\n", "<U+000A>") == visible(f"{text}\n")


def test_stream_knows_its_file_and_letters_an_old_terminal_has_not():
    raw = io.BytesIO()
    stream = VisibleStream(io.TextIOWrapper(raw, encoding="ascii"))
    assert stream.writable()
    assert not stream.isatty()
    assert not hasattr(stream, "buffer")
    stream.write("3 Ω\ud800\n")
    stream.flush()
    assert raw.getvalue() == b"3 \\u03a9<U+D800>\n"
    with pytest.raises(OSError, match="fileno"):
        stream.fileno()


def test_the_program_that_was_run_is_not_run(tmp_path):
    """Fault 9.1, by the real command line: a cell that started a program."""
    site = made(tmp_path)
    cell = "{{ lipsum.__globals__['os'].popen('expr 7 \\* 191').read() }}{% raw %}"
    changed = jointmap(
        "change", "correct", site, "joint", "J-1", "--set", f"area={cell}", *WHO
    )
    assert changed.code == 0, changed
    assert jointmap("map", site, *ON, "--out", tmp_path / "map.html").code == 0
    assert jointmap("publish", site, *ON, "--out", tmp_path / "pages").code == 0
    for page in (tmp_path / "map.html", tmp_path / "pages" / "map.html"):
        text = page.read_text("utf-8")
        assert "1337" not in without_digests(text)
        assert json.dumps(cell)[1:-1] in text


def test_names_of_files_and_arguments_are_shown_as_codes(tmp_path):
    site = made(tmp_path)
    sent = load(site, {"tests_\x1b[31m\u202e.csv": "scope,joint\n"})
    assert "tests_<U+001B>[31m<U+202E>.csv, line 1" in sent.err
    assert unseen_in(sent.said) == []
    asked = jointmap("no\x1b[31msuch")
    assert unseen_in(asked.said) == []
    gone = jointmap("load", site, tmp_path / "gone\nFORGED.csv", *WHO)
    assert "<U+000A>FORGED" in gone.err


def test_a_name_that_is_no_utf8_is_shown_by_its_bytes(tmp_path):
    site = made(tmp_path)
    command = [sys.executable, "-m", "jointmap.cli", "load", site, b"a\xff.csv", *WHO]
    ran = subprocess.run(
        command, capture_output=True, check=False, cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert b"\xff" not in ran.stderr
    assert "xff.csv is no UTF-8 text; accepted" in ran.stderr.decode("utf-8")
    assert ran.returncode == 2


def test_a_neutralised_cell_comes_back_as_it_was(tmp_path):
    """Tables are for reading; a cell copied from one into a sheet means the same."""
    site = made(tmp_path)
    head = "tag,boundary,area,state,in_duty_on,latitude,longitude\n"
    names = {"'=1+1": "=1+1", "''-2": "'-2", "'s Gate": "'s Gate", "@x": "@x"}
    rows = "".join(
        f'"{sent}",B-1,East,in duty,2020-01-10,31.4{n},-41.9{n}\n'
        for n, sent in enumerate(names)
    )
    assert load(site, {"joints.csv": head + rows}).code == 0
    folder = open_site(site)
    with folder.register.read() as state:
        tags = {joint.tag for joint in state.records(Joint).values()}
    folder.register.close()
    assert set(names.values()) <= tags
