"""What the processes of one test run share: skips told, things made once."""

import os
import subprocess
import sys

import pytest

TESTS = """
import pytest

@pytest.fixture(scope="session")
def made(once):
    def make(folder):
        with (folder.parent / "times").open("a") as file:
            file.write("x")
    return once("made", make)

@pytest.mark.parametrize("number", range(8))
def test_made_once(made, number):
    assert (made.parent / "times").read_text() == "x"

def test_skipped():
    pytest.skip("no moon here")
"""


def ran(folder, root, workers, **more):
    """Run the tests above with this project's conftest, as pytest would on a folder."""
    (folder / "test_inner.py").write_text(TESTS, encoding="utf-8")
    (folder / "pytest.ini").write_text("[pytest]\nfilterwarnings = error\n")
    words = ["-p", "tests.conftest", "-p", "no:cacheprovider", "-n", workers]
    # Not the outer run's options, nor its worker's name.
    outer = ("JOINTMAP_", "PYTEST_")
    clean = {k: v for k, v in os.environ.items() if not k.startswith(outer)}
    own = {"PYTHONPATH": str(root), **more}
    return subprocess.run(
        [sys.executable, "-m", "pytest", *words, f"--basetemp={folder / 'temp'}", "."],
        check=False,
        capture_output=True,
        cwd=folder,
        encoding="utf-8",
        env={**clean, **own},
    )


@pytest.mark.parametrize("workers", ["0", "2"])
def test_what_is_made_once_is_made_once_and_a_skip_is_told(tmp_path, root, workers):
    done = ran(tmp_path, root, workers)
    assert done.returncode == 0, done.stdout
    assert "no moon here" in done.stdout
    assert "8 passed, 1 skipped" in done.stdout.splitlines()[-1]


@pytest.mark.parametrize(
    ("workers", "may", "code"), [("0", "", 1), ("2", "no sun", 1), ("2", "no moon", 0)]
)
def test_where_nothing_may_be_skipped_a_skip_fails(tmp_path, root, workers, may, code):
    told = {"JOINTMAP_NO_SKIP": "1", "JOINTMAP_MAY_SKIP": may}
    done = ran(tmp_path, root, workers, **told)
    assert done.returncode == code, done.stdout
    said = "JOINTMAP_NO_SKIP is set: a skip fails the run" in done.stdout
    assert said == bool(code)
