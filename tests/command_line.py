"""The real command line, run as a user runs it."""

import os
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[1]


class Ran(NamedTuple):
    """What a command ended with and what it printed."""

    code: int
    out: str
    err: str

    @property
    def said(self) -> str:
        return self.out + self.err


def jointmap(*words: object, **more: str) -> Ran:
    """Run ``jointmap WORDS`` in a process of its own, with this checkout's code."""
    own = {"PYTHONPATH": str(ROOT), "COLUMNS": "100", **more}
    done = subprocess.run(
        [sys.executable, "-m", "jointmap.cli", *map(str, words)],
        capture_output=True,
        encoding="utf-8",
        env={**os.environ, **own},
        check=False,
    )
    assert "Traceback" not in done.stderr, done.stderr
    return Ran(done.returncode, done.stdout, done.stderr)
