"""A command run in the test's process ends and prints as in a process of its own."""

import os
import shutil
import subprocess
import sys

import pytest

from tests.command_line import ROOT, as_process, ended, jointmap
from tests.small_site import WHO

ON = ("--on", "2026-05-15")
# One of each exit code, of each stream, of what is read from outside, and of writing.
SAME = [
    (("--version",), 0, {}),
    (("due", "--help"), 0, {"COLUMNS": "60"}),
    (("why", "SITE", "J-1", *ON), 0, {}),
    (("check", "SITE", *ON), 1, {}),
    (("month", "SITE", "2026-13", "--out", "x"), 2, {}),
    (("load", "SITE", "no such\x1b.csv", *WHO), 3, {}),
    (("verify", "SITE", "--against", "9-" + "0" * 64), 4, {}),
    (("verify", "SITE"), 3, {"JOINTMAP_DATABASE": "postgresql+psycopg://a@127.0.0.1:1/b"}),
    (("revise", "SITE", "joint", "J-1", "--set", "remark=Ω", *WHO), 0, {}),
]  # fmt: skip


@pytest.mark.parametrize(("words", "code", "more"), SAME, ids=lambda x: str(x)[:40])
def test_both_give_the_same(loaded, tmp_path, monkeypatch, words, code, more):
    told = []
    for run in (jointmap, as_process):
        place = tmp_path / run.__name__
        shutil.copytree(loaded, place / "s")
        monkeypatch.chdir(place)
        # A path from the working folder, and another environment for one command only.
        ran = run(*("s" if w == "SITE" else w for w in words), **more)
        told.append((ran, sorted(p.name for p in place.rglob("*"))))
    assert told[0] == told[1]
    assert told[0][0].code == code
    assert told[0][0].said


@pytest.mark.parametrize("buffered", ["", "1"])
def test_both_end_the_same_where_nobody_reads(loaded, buffered):
    reader, writer = os.pipe()
    os.close(reader)
    words, more = ("check", loaded, *ON), {"PYTHONUNBUFFERED": buffered}
    try:
        here = ended(*words, out=writer, err=writer, **more)
        done = subprocess.run(
            [sys.executable, "-m", "jointmap.cli", *map(str, words)],
            stdout=writer,
            stderr=writer,
            cwd=ROOT,
            env={**os.environ, **more},
            check=False,
        )
    finally:
        os.close(writer)
    assert here == done.returncode == 141
