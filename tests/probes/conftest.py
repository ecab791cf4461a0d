"""One hostile site with all its pages, tables and sheets; nobody writes into it."""

import pytest

from tests.hostile_pages import write_all
from tests.hostile_site import hostile_site, probes


@pytest.fixture(scope="session")
def all_probes():
    return " ".join(probes().values())


@pytest.fixture(scope="session")
def hostile(tmp_path_factory, all_probes):
    """The folder of a site whose every text column holds every probe, and its pages."""
    folder = tmp_path_factory.mktemp("hostile")
    site = hostile_site(folder, all_probes, named=True)
    write_all(site, folder / "out")
    return folder


@pytest.fixture(scope="session")
def plain(tmp_path_factory):
    """The same site with harmless words."""
    folder = tmp_path_factory.mktemp("plain")
    write_all(hostile_site(folder, "words", named=True), folder / "out")
    return folder
