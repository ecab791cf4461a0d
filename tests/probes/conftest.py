"""One hostile site with all its pages, tables and sheets; nobody writes into it."""

import pytest

from tests.hostile_pages import write_all
from tests.hostile_site import hostile_site, probes


@pytest.fixture(scope="session")
def all_probes():
    return " ".join(probes().values())


def _made(folder, text):
    site = hostile_site(folder, text, named=True)
    write_all(site, folder / "out")
    site.register.close()


@pytest.fixture(scope="session")
def hostile(once, all_probes):
    """The folder of a site whose every text column holds every probe, and its pages."""
    return once("hostile", lambda folder: _made(folder, all_probes))


@pytest.fixture(scope="session")
def plain(once):
    """The same site with harmless words."""
    return once("plain", lambda folder: _made(folder, "words"))
