"""Back up a site into one file, and restore it: the same bytes, verified both times."""

import datetime as dt
import json
import os
import shutil
import zipfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from jointmap.errors import BrokenRegister, JointmapError, Problem, WrongUse
from jointmap.files import check_new_place
from jointmap.files.single import make_private_folder, write_private
from jointmap.files.turns import Turn, clear_beside, turn
from jointmap.how_far import HowFar, counted, to_nobody
from jointmap.sites.site_folder import (
    DATABASE,
    SiteFolder,
    address_of,
    read_settings,
    write_settings,
)
from jointmap.sites.site_making import (
    begun_elsewhere,
    check_address,
    free_place,
    private_folder,
    put_site,
)
from jointmap.storage import Register
from jointmap.storage.attachment_files import fault_of, path_of
from jointmap.storage.copying import copy_site, save_copy
from jointmap.storage.database import open_engine, sqlite_url, writing
from jointmap.storage.opening import codes_in, upgrade_tables
from jointmap.storage.place_named import place_of
from jointmap.storage.verifying.checking import (
    Checked,
    check_register,
    reading_problems,
)
from jointmap.storage.verifying.verify import attached_hashes
from jointmap.wording import say
from jointmap.workflows.soundness.backup_file import (
    ABOUT,
    ATTACHED,
    FORM,
    BackupFile,
    laid_to,
    opened_backup,
)

_DATE = (1980, 1, 1, 0, 0, 0)  # the same register gives the same file


@dataclass(frozen=True, slots=True)
class Kept:
    """A finished backup or restore: where, how much, and whether it verifies."""

    place: Path
    files: int
    checked: Checked


def backup(site: SiteFolder, out: Path, tell: HowFar = to_nobody) -> Kept:
    """Write the register as it is now and its attached files into one new file.

    Others may go on working. The copy is verified; a copy of a broken register is kept
    all the same, for it may be the last one. Raises ``WrongUse`` where ``out`` exists.
    """
    place = _new_file(out)
    place.parent.mkdir(parents=True, exist_ok=True)
    with turn(place) as mine:
        _new_file(out)
        copy = mine.aside / DATABASE
        tell("copying", 0, 1)
        save_copy(site.register, copy)
        url, code = sqlite_url(copy), site.register.site_code
        with (
            _told_of(site.register),
            _opened(url, code, site.fixed_day) as register,
        ):
            files = _attached(register, site.path)
            checked = check_register(register, site.path, tell=tell)
        about = {
            "form": FORM,
            "code": site.register.site_code,
            "fixed_day": site.fixed_day and site.fixed_day.isoformat(),
            "fingerprint": checked.fingerprint,
        }
        write_private(mine.draft)
        _write_zip(mine.draft, about, [copy, *files], tell)
        mine.put()
    return Kept(out, len(files), checked)


@contextmanager
def _told_of(register: Register) -> Iterator[None]:
    """Let what is broken in the copy of a register be told of the register."""
    try:
        yield
    except BrokenRegister as error:
        place = {"place": place_of(register.engine.url)}
        error.problems = tuple(
            replace(p, values={**p.values, **place}) for p in error.problems
        )
        raise


def _new_file(out: Path) -> Path:
    place = check_new_place(out)
    clear_beside(out)
    if os.path.lexists(place):
        raise WrongUse(Problem("backup.there", {"place": str(out)}))
    return place


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
    path: Path, about: dict[str, Any], files: list[Path], tell: HowFar
) -> None:
    """Write the register, which comes first of ``files``, and what is attached."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(zipfile.ZipInfo(ABOUT, _DATE), json.dumps(about))
        register, *attached = counted(files, "packing", len(files), tell)
        _add(archive, DATABASE, register, zipfile.ZIP_DEFLATED)
        for file in attached:
            # Photos and PDFs do not shrink.
            _add(archive, ATTACHED + file.name, file, zipfile.ZIP_STORED)
    with path.open("rb+") as written:
        os.fsync(written.fileno())


def _add(archive: zipfile.ZipFile, name: str, source: Path, way: int) -> None:
    info = zipfile.ZipInfo(name, _DATE)
    info.compress_type = way
    with source.open("rb") as data, archive.open(info, "w", force_zip64=True) as target:
        shutil.copyfileobj(data, target)


def restore(
    file: Path, path: Path, database: str = DATABASE, tell: HowFar = to_nobody
) -> Kept:
    """Make a site folder from a backup, verified; whole or not at all.

    ``database`` may be the address of a server, where the site is put beside others.
    Raises ``WrongUse`` where ``path`` holds anything, and for another ``database``;
    ``Refused`` for what is no backup, ``BrokenRegister`` where what came out does not
    verify.
    """
    check_address(database)
    place = free_place(path)
    free = shutil.disk_usage(place.parent).free
    with opened_backup(file, free) as given, turn(place) as mine:
        free_place(path)
        kept = _unpack(given, mine, database, tell)
        put_site(mine)
    return Kept(path, kept.files, kept.checked)


def _unpack(given: BackupFile, mine: Turn, database: str, tell: HowFar) -> Kept:
    folder = private_folder(mine.draft)
    about, copy = given.about, folder / DATABASE
    with laid_to(given.file):
        kept = _checked(given, folder, database, tell)
    if "://" in database:
        address = address_of(folder, database)
        with (
            _opened(sqlite_url(copy), about.code, about.fixed_day) as register,
            begun_elsewhere(mine, about.code, address) as before,
        ):
            _send(register, folder, address, before=before)
        copy.unlink()
    return kept


def _checked(given: BackupFile, folder: Path, database: str, tell: HowFar) -> Kept:
    """Put all of a backup into a folder, and go through it."""
    about, copy = given.about, folder / DATABASE
    tell("copying", 0, 1)
    given.extract(DATABASE, copy)
    url = sqlite_url(copy)
    engine = open_engine(url)
    upgrade_tables(engine)
    engine.dispose()
    if about.code not in codes_in(url):
        raise ValueError(say("restore.other_site", {"code": about.code}))
    wrong = reading_problems(url, about.code)
    if wrong:
        raise BrokenRegister(wrong)
    write_settings(folder, about.code, about.fixed_day, database)
    if read_settings(folder)[0] != about.code:
        raise ValueError(say("restore.odd_code", {"code": about.code}))
    with _opened(url, about.code, about.fixed_day) as register:
        hashes = [sha256 for sha256, _ in _hashes(register)]
        told = counted(hashes, "unpacking", len(hashes), tell)
        _extract_attached(given, folder, told)
        checked = check_register(register, folder, about.fingerprint or None, tell)
        if checked.problems:
            more = Problem("verify.more", {"more": checked.more})
            raise BrokenRegister([*checked.problems, *([more] if checked.more else [])])
    return Kept(folder, len(hashes), checked)


def _extract_attached(given: BackupFile, folder: Path, hashes: Iterable[str]) -> None:
    named = set()
    for sha256 in hashes:
        named.add(sha256)
        target = path_of(folder, sha256)
        for part in (target.parents[1], target.parent):
            make_private_folder(part)
        given.extract(ATTACHED + sha256, target)
    if given.attached != named:
        raise ValueError(say("restore.unnamed"))


def _send(register: Register, folder: Path, url: str, *, before: bool) -> None:
    if before and _is_there(register, folder, url):
        return
    engine = open_engine(url)
    with register.looking() as connection, writing(engine) as there:
        copy_site(connection, register, there)
    engine.dispose()


def _is_there(register: Register, folder: Path, url: str) -> bool:
    """Whether a run that was stopped has sent this very register already."""
    try:
        with _opened(url, register.site_code, register.training_on) as there:
            return check_register(there, folder) == check_register(register, folder)
    except JointmapError:
        return False
