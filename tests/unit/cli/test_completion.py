"""What the shell may offer: click's own completion, as the how-to page sets it up."""

import os
import subprocess
import sys

import pytest

from tests.command_line import ROOT

AS_INSTALLED = "from jointmap.cli import main; main(prog_name='jointmap')"


def completed(**more):
    done = subprocess.run(
        [sys.executable, "-c", AS_INSTALLED],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "PYTHONPATH": str(ROOT), **more},
    )
    assert done.stderr == ""
    return done.stdout


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_each_line_of_the_page_gives_a_script(shell):
    page = (ROOT / "docs/how_to/complete_commands.md").read_text(encoding="utf-8")
    assert f"_JOINTMAP_COMPLETE={shell}_source jointmap" in page
    script = completed(_JOINTMAP_COMPLETE=f"{shell}_source")
    assert f"_JOINTMAP_COMPLETE={shell}_complete" in script


@pytest.mark.parametrize(
    ("words", "offered"),
    [
        ("jointmap fi", "findings"),
        ("jointmap change re", "rename"),
        ("jointmap due north --fo", "--format"),
        ("jointmap due north --format j", "json"),
    ],
)
def test_words_are_offered(words, offered):
    asked = {"COMP_WORDS": words, "COMP_CWORD": str(words.count(" "))}
    told = completed(_JOINTMAP_COMPLETE="bash_complete", **asked)
    assert f"plain,{offered}" in told.splitlines()
