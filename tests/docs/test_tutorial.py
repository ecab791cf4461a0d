"""The tutorial does what it says: its blocks are run, what they print is compared.

All ``bash`` blocks are run as one paste in one shell; a ``text`` block after one is
what it prints, where ``...`` stands for anything within a line. ``--update-golden``
writes what came out, with ``...`` for the day on which it was run.
"""

import os
import re
import subprocess
import sys
from pathlib import Path

PAGE = Path(__file__).resolve().parents[2] / "docs" / "tutorial.md"
TODAY = re.compile(r"(?<=as known on )\d{4}-\d\d-\d\d")
MARK = "--- the next block ---"
BLOCK = re.compile(r"```bash\n(.*?)```(?:\n+```text\n(.*?)```)?", re.S)


def run(script, folder):
    path = os.pathsep.join([str(Path(sys.executable).parent), os.environ["PATH"]])
    # Errors are part of what a reader sees.
    done = subprocess.run(
        ["bash", "-euo", "pipefail", "-c", script],
        check=False,
        cwd=folder,
        env={**os.environ, "PATH": path, "COLUMNS": ""},
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
    paste = f"echo '{MARK}'\n".join(m[1] for m in BLOCK.finditer(text))
    printed = run(paste, tmp_path).split(f"{MARK}\n")
    if request.config.getoption("--update-golden"):
        text = updated(text, printed)
        PAGE.write_text(text, encoding="utf-8")
    for (script, expected), found in zip(BLOCK.findall(text), printed, strict=True):
        if expected:
            assert fits(expected, found), f"{script}\nprinted:\n{found}"


def updated(text, printed):
    for match, found in reversed(list(zip(BLOCK.finditer(text), printed, strict=True))):
        if match[2] is not None and not fits(match[2], found):
            start, end = match.span(2)
            text = text[:start] + TODAY.sub("...", found) + text[end:]
    return text


def test_tutorial_shows_what_is_printed():
    blocks = BLOCK.findall(PAGE.read_text(encoding="utf-8"))
    assert len(blocks) >= 8
    assert sum(bool(text) for _, text in blocks) >= 4
