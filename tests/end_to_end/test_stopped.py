"""Stopped at any step, or out of room: the old or the new, whole, and no litter."""

import json
import os
import shutil
import subprocess
import sys

import pytest

from tests.command_line import ROOT

pytestmark = pytest.mark.unmeasured

COMMANDS = ("publish", "month", "handover", "backup", "restore", "attach", "new")
HOW = ("kill", "full")


@pytest.mark.parametrize("how", HOW)
@pytest.mark.parametrize("command", COMMANDS)
def test_old_or_new_and_no_litter_after_the_next_run(
    loaded, tmp_path, count, command, how
):
    site = shutil.copytree(loaded, tmp_path / "site")
    (tmp_path / "work").mkdir()
    moments = count(6, 100) if how == "kill" else count(2, 20)
    words = (command, moments, how, site, tmp_path / "work")
    done = subprocess.run(
        [sys.executable, "-m", "tests.stopping", *map(str, words)],
        capture_output=True,
        text=True,
        cwd=ROOT,
        env={**os.environ, "PYTHONWARNINGS": "ignore"},
        check=False,
    )
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout.splitlines()[-1])
    assert found["faults"] == []
    assert found["tried"] >= min(moments, found["steps"]) * 2 // 3
    assert found["stopped"] >= found["tried"] - (how == "full")
    assert found["old"] > 0
