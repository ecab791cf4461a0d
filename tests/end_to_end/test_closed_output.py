"""Output that nobody reads any more, or that was closed from the start."""

import os
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryFile

import pytest

from tests.command_line import ROOT, ended
from tests.small_site import WHO

JOINTMAP = [sys.executable, "-m", "jointmap.cli"]
GONE = 141  # what a shell gives for a command that a closed pipe ended


def piped(*words, err_too=False, **more):
    """Run a command whose output goes into a pipe that nobody reads."""
    reader, writer = os.pipe()
    os.close(reader)
    try:
        with TemporaryFile() as err:
            told = writer if err_too else err.fileno()
            code = ended(*words, out=writer, err=told, **more)
            err.seek(0)
            return code, err.read().decode("utf-8")
    finally:
        os.close(writer)


@pytest.mark.parametrize("buffered", ["", "1"])
@pytest.mark.parametrize(
    "words",
    [
        ("check", "SITE"),
        ("due", "SITE", "--format", "csv"),
        ("why", "SITE", "J-1"),
        ("verify", "SITE"),
        ("--help",),
        ("due", "--help"),
        ("--version",),
    ],
)
def test_a_reader_that_goes_away_ends_a_command_quietly(loaded, words, buffered):
    given = (loaded if w == "SITE" else w for w in words)
    assert piped(*given, PYTHONUNBUFFERED=buffered) == (GONE, "")


@pytest.mark.parametrize("words", [("due", "nowhere"), ("due",), ("nothing",)])
def test_so_does_one_that_goes_away_before_a_refusal(words):
    assert piped(*words, err_too=True) == (GONE, "")


def test_what_is_on_record_is_told_elsewhere(site):
    code, told = piped("revise", site, "joint", "J-1", "--set", "remark=x", *WHO)
    assert code == 1
    assert "is on record; only telling so failed (the reader of" in told
    assert len(told.splitlines()) == 1


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device of Linux")
def test_output_for_which_there_is_no_room(loaded):
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [*JOINTMAP, "due", loaded],
            stdout=full,
            stderr=subprocess.PIPE,
            encoding="utf-8",
            check=False,
            cwd=ROOT,
        )
    assert (done.returncode, done.stderr) == (
        3,
        "No space left on device: the output\n",
    )


@pytest.mark.skipif(sys.platform == "win32", reason="closed by a shell")
@pytest.mark.parametrize(("closed", "code"), [(">&-", 0), ("2>&-", 0), (">&- 2>&-", 0)])
def test_output_that_was_closed_from_the_start(loaded, closed, code):
    done = subprocess.run(
        ["sh", "-c", f'exec "$@" {closed}', "sh", *JOINTMAP, "verify", loaded],
        capture_output=True,
        encoding="utf-8",
        check=False,
        cwd=ROOT,
    )
    assert (done.returncode, done.stderr) == (code, "")
