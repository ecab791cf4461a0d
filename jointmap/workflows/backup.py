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

from jointmap.errors import BrokenRegister, Problem, Refused, WrongUse
from jointmap.storage import Register
from jointmap.storage.attachment_files import fault_of, path_of
from jointmap.storage.checking import Checked, check_register
from jointmap.storage.copying import copy_site, save_copy
from jointmap.storage.database import open_engine, sqlite_url, writing
from jointmap.storage.opening import upgrade_tables
from jointmap.storage.verify import attached_hashes
from jointmap.workflows.site_folder import (
    DATABASE,
    SiteFolder,
    address_of,
    write_settings,
)

FORM = 1
ABOUT = "backup.json"
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
        with _opened(sqlite_url(copy), site.register.site_code) as register:
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
def _opened(url: str, code: str) -> Iterator[Register]:
    register = Register.open(url, code)
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
            _add(archive, f"attachments/{file.name}", file, zipfile.ZIP_STORED)
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
        with _backup_file(file) as archive:
            kept = _unpack(archive, half, database)
        if path.exists():
            path.rmdir()
        half.replace(path)
    finally:
        shutil.rmtree(half, ignore_errors=True)
    return Kept(path, kept.files, kept.checked)


@contextmanager
def _backup_file(file: Path) -> Iterator[zipfile.ZipFile]:
    try:
        with zipfile.ZipFile(file) as archive:
            yield archive
    except FileNotFoundError:
        raise Refused(Problem("file.not_found", file=str(file))) from None
    except (zipfile.BadZipFile, KeyError, ValueError, EOFError) as error:
        facts = {"error": str(error)}
        raise Refused(Problem("restore.no_backup", facts, file=file.name)) from error


def _unpack(archive: zipfile.ZipFile, folder: Path, database: str) -> Kept:
    about = json.loads(archive.read(ABOUT))
    if about["form"] != FORM:
        raise ValueError(f"form {about['form']}")
    copy = folder / DATABASE
    _extract(archive, DATABASE, copy)
    engine = open_engine(sqlite_url(copy))
    upgrade_tables(engine)
    engine.dispose()
    with _opened(sqlite_url(copy), about["code"]) as register:
        hashes = _hashes(register)
        for sha256, _ in hashes:
            target = path_of(folder, sha256)
            target.parent.mkdir(parents=True, exist_ok=True)
            _extract(archive, f"attachments/{sha256}", target)
        checked = check_register(register, folder, about["fingerprint"] or None)
        if checked.problems:
            raise BrokenRegister(checked.problems)
        if "://" in database:
            _send(register, address_of(folder, database))
    if "://" in database:
        copy.unlink()
    day = about["fixed_day"] and dt.date.fromisoformat(about["fixed_day"])
    write_settings(folder, about["code"], day or None, database)
    return Kept(folder, len(hashes), checked)


def _extract(archive: zipfile.ZipFile, name: str, target: Path) -> None:
    with archive.open(name) as data, target.open("wb") as written:
        shutil.copyfileobj(data, written)


def _send(register: Register, url: str) -> None:
    engine = open_engine(url)
    with register.looking() as connection, writing(engine) as there:
        copy_site(connection, register, there)
    engine.dispose()
