"""A backup as somebody handed it over: hostile until every part of it was looked at."""

import datetime as dt
import json
import re
import shutil
import stat
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from jointmap.errors import JointmapError, Problem, Refused
from jointmap.files.single import open_private
from jointmap.sites.site_folder import DATABASE
from jointmap.storage.attachment_files import MOST_BYTES
from jointmap.wording import say

FORM = 1
ABOUT = "backup.json"
ATTACHED = "attachments/"
MOST_ABOUT = 65_536
# A register packs to a fortieth at best; ten times that is no register.
MOST_PACKED = 400
_ENCRYPTED = 1
# What is told of a register, and of a backup that holds such a one.
_OF_BACKUP = {
    "storage.damaged": "restore.damaged",
    "storage.not_a_register": "restore.not_ours",
    "storage.is_write_ahead": "restore.write_ahead",
}
_PLAIN = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_KINDS: dict[str, Any] = {
    "form": int,
    "code": str,
    "fixed_day": str | None,
    "fingerprint": str | None,
}
# What zipfile and json raise for files that are none, or not as they say.
_NO_BACKUP = (
    zipfile.BadZipFile,
    zlib.error,
    KeyError,
    ValueError,
    EOFError,
    NotImplementedError,
    RuntimeError,  # RecursionError too
    OverflowError,
)


@dataclass(frozen=True, slots=True)
class About:
    """What a backup says of itself."""

    code: str
    fixed_day: dt.date | None
    fingerprint: str


@dataclass(frozen=True, slots=True)
class BackupFile:
    """An open backup of which names, sizes and what it says of itself are sound."""

    file: Path
    archive: zipfile.ZipFile
    about: About

    @property
    def attached(self) -> set[str]:
        """The SHA-256 of every attached file that it holds."""
        names = self.archive.namelist()
        return {n.removeprefix(ATTACHED) for n in names if n.startswith(ATTACHED)}

    def extract(self, name: str, target: Path) -> None:
        """Write one member; no more than it says to hold."""
        with self.archive.open(name) as data, open_private(target) as written:
            shutil.copyfileobj(data, written)


@contextmanager
def opened_backup(file: Path, room: int) -> Iterator[BackupFile]:
    """Open a backup that may take ``room`` bytes; raises ``Refused`` for none.

    Also what goes wrong while it is read is told as its fault.
    """
    if not file.exists():
        raise Refused(Problem("file.not_found", file=str(file)))
    try:
        # A pipe would be waited for.
        if not stat.S_ISREG(file.stat().st_mode):
            raise ValueError(say("restore.not_plain"))
        with zipfile.ZipFile(file) as archive:
            _check_members(archive, file.stat().st_size, room)
            yield BackupFile(file, archive, _about(archive))
    except _NO_BACKUP as error:
        facts = {"error": str(error)[:200] or type(error).__name__}
        raise Refused(Problem("restore.no_backup", facts, file=str(file))) from error


@contextmanager
def laid_to(file: Path) -> Iterator[None]:
    """Let what is wrong with what came out of a backup be told as its fault."""
    try:
        yield
    except JointmapError as error:
        error.problems = tuple(_of_backup(p, str(file)) for p in error.problems)
        raise


def _of_backup(problem: Problem, file: str) -> Problem:
    if problem.id == "storage.full":
        return problem  # of where it is unpacked
    if problem.id in _OF_BACKUP:
        return Problem(_OF_BACKUP[problem.id], file=file)
    if "place" in problem.values:
        return replace(problem, values={**problem.values, "place": file})
    return replace(problem, file=file)


def _check_members(archive: zipfile.ZipFile, size: int, room: int) -> None:
    seen: set[str] = set()
    for info in archive.infolist():
        fault = _member_fault(info, seen)
        if fault:
            facts = {"name": info.filename[:100], "fault": say(f"restore.{fault}")}
            raise ValueError(say("restore.member", facts))
        seen.add(info.filename)
    unpacked = sum(info.file_size for info in archive.infolist())
    sizes = {"bytes": unpacked, "size": size, "free": room}
    if unpacked > MOST_PACKED * size:
        raise ValueError(say("restore.packed_small", sizes))
    if unpacked > room:
        raise ValueError(say("restore.no_room", sizes))


def _member_fault(info: zipfile.ZipInfo, seen: set[str]) -> str:
    name, mode = info.filename, info.external_attr >> 16
    most = {ABOUT: MOST_ABOUT, DATABASE: info.file_size}.get(name, MOST_BYTES)
    is_attached = re.fullmatch(ATTACHED + "[0-9a-f]{64}", name)
    cases = {
        "member_foreign": name not in {ABOUT, DATABASE} and not is_attached,
        "member_twice": name in seen,
        "member_outside": info.header_offset < 0,
        "member_encrypted": bool(info.flag_bits & _ENCRYPTED),
        "member_packing": info.compress_type not in _PLAIN,
        "member_large": info.file_size > most,
        "member_not_plain": bool(stat.S_IFMT(mode)) and not stat.S_ISREG(mode),
    }
    return next((fault for fault, holds in cases.items() if holds), "")


def _about(archive: zipfile.ZipFile) -> About:
    about: Any = json.loads(archive.read(ABOUT))
    if not isinstance(about, dict) or about.keys() != _KINDS.keys():
        raise ValueError(
            say("restore.about_other", {"name": ABOUT, "accepted": ", ".join(_KINDS)})
        )
    odd = [name for name, kind in _KINDS.items() if not isinstance(about[name], kind)]
    if odd or about["form"] != FORM:
        raise ValueError(
            say("restore.about_odd", {"name": ABOUT, "odd": ", ".join(odd) or "form"})
        )
    day = about["fixed_day"]
    on = dt.date.fromisoformat(day) if day else None
    return About(about["code"], on, about["fingerprint"] or "")
