"""One small site for all tests of the command line."""

import shutil
from pathlib import Path

import pytest

from tests.small_site import made


@pytest.fixture(scope="session")
def loaded(once):
    """A site of two joints; nobody writes into it."""
    return once("small", made) / "site"


@pytest.fixture
def site(loaded, tmp_path):
    """A site of two joints, this test's own."""
    return Path(shutil.copytree(loaded, tmp_path / "site"))
