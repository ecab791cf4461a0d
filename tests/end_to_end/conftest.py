"""One demo and one small site for all tests of the command line."""

import shutil
from pathlib import Path

import pytest

from tests.command_line import jointmap
from tests.small_site import made


@pytest.fixture(scope="session")
def demo(tmp_path_factory):
    """The demo's folder, made once by the real command line; nobody writes into it."""
    out = tmp_path_factory.mktemp("demo") / "out"
    ran = jointmap("demo", out)
    assert ran.code == 0, ran
    assert ran.out.splitlines()[-1] == str(out / "pages" / "index.html")
    return out


@pytest.fixture(scope="session")
def pages(demo):
    return demo / "pages"


@pytest.fixture(scope="session")
def loaded(tmp_path_factory):
    """A site of two joints; nobody writes into it."""
    return made(tmp_path_factory.mktemp("small"))


@pytest.fixture
def site(loaded, tmp_path):
    """A site of two joints, this test's own."""
    return Path(shutil.copytree(loaded, tmp_path / "site"))
