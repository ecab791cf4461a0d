"""The tutorial does what it says: its blocks are run, what they print is compared.

Each ``bash`` block runs in the same folder, from its top; a ``text`` block after it is
what it prints, where ``...`` stands for anything within a line. ``--update-golden``
writes what came out.
"""

import os
import re
import subprocess
import sys
from pathlib import Path

PAGE = Path(__file__).resolve().parents[2] / "docs" / "tutorial.md"
BLOCK = re.compile(r"```bash\n(.*?)```(?:\n+```text\n(.*?)```)?", re.S)


def run(script, folder):
    path = os.pathsep.join([str(Path(sys.executable).parent), os.environ["PATH"]])
    # Errors are part of what a reader sees.
    done = subprocess.run(
        ["bash", "-euo", "pipefail", "-c", script],
        cwd=folder,
        env={**os.environ, "PATH": path, "COLUMNS": "100"},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    assert done.returncode == 0, f"{script}\n{done.stdout}"
    return done.stdout


def fits(expected, found):
    pattern = ".*".join(re.escape(part) for part in expected.split("..."))
    return re.fullmatch(pattern, found) is not None


def test_tutorial_runs(tmp_path, request):
    text = PAGE.read_text(encoding="utf-8")
    results = [(m, run(m[1], tmp_path)) for m in BLOCK.finditer(text)]
    if request.config.getoption("--update-golden"):
        for match, found in reversed(results):
            if match[2] is not None and not fits(match[2], found):
                text = text[: match.start(2)] + found + text[match.end(2) :]
        PAGE.write_text(text, encoding="utf-8")
    for match, found in results:
        if match[2] is not None:
            assert fits(match[2], found), f"{match[1]}\nprinted:\n{found}"


def test_tutorial_shows_what_is_printed():
    blocks = BLOCK.findall(PAGE.read_text(encoding="utf-8"))
    assert len(blocks) >= 8
    assert sum(bool(text) for _, text in blocks) >= 4
