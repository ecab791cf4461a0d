"""What lies beside a register under the names that SQLite gives to its journals."""

import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from jointmap.cli import main
from jointmap.errors import BrokenRegister
from jointmap.workflows.opening import open_site
from jointmap.workflows.soundness.upgrade import upgrade_site
from jointmap.workflows.soundness.verify import verify_site
from tests.storage.made_site import made_site


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    return made_site(tmp_path_factory.mktemp("made"))


@pytest.fixture
def site(made, tmp_path):
    shutil.copytree(made / "site", tmp_path / "site")
    return tmp_path / "site"


def tree(site: Path) -> dict[str, bytes]:
    files = (p for p in site.rglob("*") if p.is_file())
    return {p.relative_to(site).as_posix(): p.read_bytes() for p in files}


def junk(site: Path) -> None:
    (site / "register.sqlite-wal").write_text("x" * 5000)


def copies(site: Path) -> None:
    for end in ("-wal", "-shm"):
        shutil.copy(site / "register.sqlite", site / f"register.sqlite{end}")


def true_ones(site: Path) -> None:
    """What a writer of another register, stopped while it wrote ahead, had left."""
    other = site.parent / "other.sqlite"
    shutil.copy(site / "register.sqlite", other)
    with closing(sqlite3.connect(other)) as connection:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("CREATE TABLE put_in (x)")
        for end in ("-wal", "-shm"):
            shutil.copy(f"{other}{end}", site / f"register.sqlite{end}")


def nothing_at_all(site: Path) -> None:
    (site / "register.sqlite-shm").touch()


@pytest.mark.parametrize("lay", [junk, copies, true_ones, nothing_at_all])
def test_no_register_is_opened_beside_the_journals_of_others(site, lay, capsys):
    """SQLite brings in, or deletes, what bears such a name."""
    lay(site)
    before = tree(site)
    laid = sorted(n for n in before if n.endswith(("-wal", "-shm")))
    for command in (verify_site, open_site, upgrade_site):
        with pytest.raises(BrokenRegister, match=r"storage\.write_ahead") as refused:
            command(site)
        told = [Path(str(p.values["place"])).name for p in refused.value.problems]
        assert told == laid[::-1]
        assert tree(site) == before
    with pytest.raises(SystemExit) as ended:
        main(["verify", str(site)])
    assert ended.value.code == 4
    assert len(capsys.readouterr().err.splitlines()) == len(laid)


@pytest.mark.parametrize("data", [b"8 bytes.", b"x", b"\xd9\xd5x"])
def test_what_only_bears_the_name_of_a_journal_is_not_deleted(site, data):
    """SQLite takes any file of this name for a journal, and deletes what is none."""
    (site / "register.sqlite-journal").write_bytes(data)
    before = tree(site)
    for command in (verify_site, open_site, upgrade_site):
        with pytest.raises(BrokenRegister, match=r"storage\.no_journal") as refused:
            command(site)
        place = refused.value.problems[0].values["place"]
        assert place == str(site / "register.sqlite-journal")
        assert tree(site) == before


@pytest.mark.parametrize("data", [b"", bytes(512), b"\xd9\xd5\x05\xf9"])
def test_a_journal_that_was_only_begun_does_not_keep_a_register_shut(site, data):
    """As far as a disk had it when its writer was stopped."""
    (site / "register.sqlite-journal").write_bytes(data)
    assert verify_site(site).is_sound


def test_a_register_that_was_set_to_write_ahead_is_not_opened(site):
    """SQLite would lay files beside it, and a reader of it writes."""
    with closing(sqlite3.connect(site / "register.sqlite")) as connection:
        connection.execute("PRAGMA journal_mode = WAL")
    before = tree(site)
    for command in (verify_site, open_site, upgrade_site):
        with pytest.raises(BrokenRegister, match=r"storage\.is_write_ahead"):
            command(site)
        assert tree(site) == before
    with closing(sqlite3.connect(site / "register.sqlite")) as connection:
        connection.execute("PRAGMA journal_mode = DELETE")
    assert verify_site(site).is_sound


def test_the_journal_of_a_stopped_writer_is_rolled_back(site):
    sound = verify_site(site).lines
    writer = """import os, sqlite3, sys
c = sqlite3.connect(sys.argv[1])
c.execute("PRAGMA cache_size = 1")
c.execute("PRAGMA cache_spill = 1")
c.execute("BEGIN")
c.execute("CREATE TABLE big (x)")
c.executemany("INSERT INTO big VALUES (?)", [("x" * 9000,)] * 500)
os._exit(9)
"""
    subprocess.run(
        [sys.executable, "-c", writer, site / "register.sqlite"], check=False
    )
    assert (site / "register.sqlite-journal").stat().st_size
    assert verify_site(site).lines == sound
    assert not (site / "register.sqlite-journal").exists()
