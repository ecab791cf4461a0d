"""The examples of the pages run beside what ``jointmap demo out`` makes."""

import pytest

from tests.conftest import demo, once

__all__ = ["demo", "once"]


@pytest.fixture(autouse=True)
def beside_the_demo(demo, monkeypatch):  # noqa: F811
    """Run in the folder that holds ``out``; nobody writes into it."""
    monkeypatch.chdir(demo.parent)
