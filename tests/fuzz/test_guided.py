"""Coverage-guided inputs for the pure readers.

All in one process, most of whose time goes into its start; under ``--full`` each reader
in one of its own, too.
"""

import importlib.util
import os
import subprocess
import sys

import pytest

from tests.conftest import ROOT

READERS = ("file", "table", "quantity", "cell", "settings", "lines", "name")
EACH = 16_000 // len(READERS) + 1  # inputs
LIMITS = ("-timeout=10", "-rss_limit_mb=1024", "-max_len=4096", "-seed=11")
has_fuzzer = importlib.util.find_spec("atheris") is not None


@pytest.mark.skipif(not has_fuzzer, reason="no fuzzer (atheris) for this machine")
@pytest.mark.parametrize(
    ("reader", "runs"),
    [
        ("any", 400),
        *(pytest.param(r, EACH, marks=pytest.mark.full) for r in READERS),
    ],
)
def test_reader_gives_a_value_or_a_refusal(reader, runs, tmp_path):
    corpus = tmp_path / "corpus"
    corpus.mkdir()
    own = (f"-runs={runs}", f"-artifact_prefix={tmp_path}/")
    words = (sys.executable, "-m", "tests.fuzz.guided", reader, str(corpus))
    done = subprocess.run(
        [*words, *own, *LIMITS],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        check=False,
        timeout=600,
    )
    found = [p.read_bytes() for p in tmp_path.iterdir() if p.is_file()]
    assert (done.returncode, found) == (0, []), done.stderr.decode(errors="replace")
    assert f"Done {runs} runs".encode() in done.stderr
