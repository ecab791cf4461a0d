"""Coverage-guided inputs for the pure readers, each reader in a process of its own."""

import importlib.util
import os
import subprocess
import sys

import pytest

from tests.conftest import ROOT

READERS = ("file", "table", "quantity", "cell", "settings", "lines", "name")
LIMITS = ("-timeout=10", "-rss_limit_mb=1024", "-max_len=4096", "-seed=11")
has_fuzzer = importlib.util.find_spec("atheris") is not None


@pytest.mark.skipif(not has_fuzzer, reason="no fuzzer (atheris) for this machine")
@pytest.mark.parametrize("reader", READERS)
def test_reader_gives_a_value_or_a_refusal(reader, tmp_path, count):
    corpus = tmp_path / "corpus"
    corpus.mkdir()
    runs = count(400, 16_000) // len(READERS) + 1
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
