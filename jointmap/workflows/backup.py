"""Back up a site into one file, and restore it: the same bytes, verified both times."""

import datetime as dt
import json
import os
import shutil
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from jointmap.errors import BrokenRegister, Problem, WrongUse
from jointmap.storage import Register
from jointmap.storage.attachment_files import fault_of, path_of
from jointmap.storage.checking import Checked, check_register, reading_problems
from jointmap.storage.copying import copy_site, save_copy
from jointmap.storage.database import open_engine, sqlite_url, writing
from jointmap.storage.opening import codes_in, upgrade_tables
from jointmap.storage.verify import attached_hashes
from jointmap.workflows.backup_file import (
    ABOUT,
    ATTACHED,
    FORM,
    BackupFile,
    opened_backup,
)
from jointmap.workflows.site_folder import (
    DATABASE,
    SiteFolder,
    address_of,
    read_settings,
    write_settings,
)

_DATE = (1980, 1, 1, 0, 0, 0)  # the same register gives the same file


@dataclass(frozen=True, slots=True)
class Kept:
    """A finished backup or restore: where, how much, and whether it verifies."""

    place: Path
    files: int
    checked: Checked


def backup(site: SiteFolder, out: Path) -> Kept:
    """Write the register as it is now and its attached files into one new file.

    Others may go on working. The copy is verified; a copy of a broken register is kept
    all the same, for it may be the last one. Raises ``WrongUse`` where ``out`` exists.
    """
    if out.exists():
        raise WrongUse(Problem("backup.there", {"place": str(out)}))
    out.parent.mkdir(parents=True, exist_ok=True)
    copy = out.with_name(f"{out.name}.{os.getpid()}.register")
    half = out.with_name(f"{out.name}.{os.getpid()}.half")
    try:
        save_copy(site.register, copy)
        with _opened(
            sqlite_url(copy), site.register.site_code, site.fixed_day
        ) as register:
            files = _attached(register, site.path)
            checked = check_register(register, site.path)
        about = {
            "form": FORM,
            "code": site.register.site_code,
            "fixed_day": site.fixed_day and site.fixed_day.isoformat(),
            "fingerprint": checked.fingerprint,
        }
        _write_zip(half, about, copy, files)
        half.replace(out)
    finally:
        copy.unlink(missing_ok=True)
        half.unlink(missing_ok=True)
    return Kept(out, len(files), checked)


@contextmanager
def _opened(url: str, code: str, day: dt.date | None) -> Iterator[Register]:
    register = Register.open(url, code, day)
    try:
        yield register
    finally:
        register.close()


def _hashes(register: Register) -> list[tuple[str, int]]:
    with register.looking() as connection:
        return list(attached_hashes(connection, register.site_id))


def _attached(register: Register, folder: Path) -> list[Path]:
    """Return the sound attached files; what is not sound, ``verify`` tells."""
    paths = ((path_of(folder, sha256), size) for sha256, size in _hashes(register))
    return [path for path, size in paths if not fault_of(path, path.name, size)]


def _write_zip(
    path: Path, about: dict[str, Any], register: Path, files: list[Path]
) -> None:
    with zipfile.ZipFile(path, "x", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(zipfile.ZipInfo(ABOUT, _DATE), json.dumps(about))
        _add(archive, DATABASE, register, zipfile.ZIP_DEFLATED)
        for file in files:
            # Photos and PDFs do not shrink.
            _add(archive, ATTACHED + file.name, file, zipfile.ZIP_STORED)
    with path.open("rb+") as written:
        os.fsync(written.fileno())


def _add(archive: zipfile.ZipFile, name: str, source: Path, way: int) -> None:
    info = zipfile.ZipInfo(name, _DATE)
    info.compress_type = way
    with source.open("rb") as data, archive.open(info, "w", force_zip64=True) as target:
        shutil.copyfileobj(data, target)


def restore(file: Path, path: Path, database: str = DATABASE) -> Kept:
    """Make a site folder from a backup, verified; whole or not at all.

    ``database`` may be the address of a server, where the site is put beside others.
    Raises ``WrongUse`` where ``path`` holds anything, and for another ``database``;
    ``Refused`` for what is no backup, ``BrokenRegister`` where what came out does not
    verify.
    """
    if path.exists() and (not path.is_dir() or any(path.iterdir())):
        raise WrongUse(Problem("restore.not_empty", {"place": str(path)}))
    if database != DATABASE and "://" not in database:
        raise WrongUse(Problem("restore.database", value=database))
    half = path.with_name(f"{path.name}.{os.getpid()}.half")
    half.mkdir(parents=True)
    try:
        with opened_backup(file, shutil.disk_usage(half).free) as given:
            kept = _unpack(given, half, database)
        if path.exists():
            path.rmdir()
        half.replace(path)
    finally:
        shutil.rmtree(half, ignore_errors=True)
    return Kept(path, kept.files, kept.checked)


def _unpack(given: BackupFile, folder: Path, database: str) -> Kept:
    about, copy = given.about, folder / DATABASE
    given.extract(DATABASE, copy)
    url = sqlite_url(copy)
    engine = open_engine(url)
    upgrade_tables(engine)
    engine.dispose()
    if about.code not in codes_in(url):
        raise ValueError(f"there is no site {about.code!r} in it")
    wrong = reading_problems(url, about.code)
    if wrong:
        raise BrokenRegister(wrong)
    with _opened(url, about.code, about.fixed_day) as register:
        hashes = [sha256 for sha256, _ in _hashes(register)]
        for sha256 in hashes:
            target = path_of(folder, sha256)
            target.parent.mkdir(parents=True, exist_ok=True)
            given.extract(ATTACHED + sha256, target)
        if given.attached != set(hashes):
            raise ValueError("it holds attached files that no record names")
        checked = check_register(register, folder, about.fingerprint or None)
        if checked.problems:
            raise BrokenRegister(checked.problems)
        if "://" in database:
            _send(register, address_of(folder, database))
    if "://" in database:
        copy.unlink()
    write_settings(folder, about.code, about.fixed_day, database)
    if read_settings(folder)[0] != about.code:
        raise ValueError(f"a code of no use: {about.code!r}")
    return Kept(folder, len(hashes), checked)


def _send(register: Register, url: str) -> None:
    engine = open_engine(url)
    with register.looking() as connection, writing(engine) as there:
        copy_site(connection, register, there)
    engine.dispose()
