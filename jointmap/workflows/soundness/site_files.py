"""What lies in a site folder, and what its settings say, held against what should."""

import os
import re
import stat
import tomllib
from collections.abc import Collection, Iterator
from pathlib import Path

from jointmap.errors import Problem
from jointmap.files.names import (
    ASIDE,
    ATTACHMENTS,
    JOURNAL,
    LOCK,
    MODELS,
    NEW,
    SETTINGS_FILE,
    TEMPLATES,
    beside,
)
from jointmap.sites.site_folder import SETTINGS
from jointmap.storage.attachment_files import FOLDERS, hash_of, others_in, path_of

# The user's own sheets, and models that were learned and not adopted.
_LOOSE = (TEMPLATES, MODELS)
# What a file passes through on its way into the store.
_DRAFTS = beside(Path(ATTACHMENTS)).name


def setting_problems(path: Path) -> Iterator[Problem]:
    """Yield settings of site.toml that this program does not know."""
    settings = tomllib.loads((path / SETTINGS_FILE).read_text(encoding="utf-8"))
    accepted = ", ".join(SETTINGS)
    for name in sorted(settings.keys() - set(SETTINGS)):
        yield Problem("verify.setting", {"name": name, "accepted": accepted})


def file_problems(
    path: Path, database: Path | None, attached: Collection[str]
) -> Iterator[Problem]:
    """Yield what lies in a site folder and is no part of the site.

    ``database`` is the register's file, None where a server has it. Nothing reads what
    is in the folders of templates and models but the user; only plain files lie there.
    """
    files, folders = {SETTINGS_FILE}, {*FOLDERS, _DRAFTS, *_LOOSE}
    if database is not None and database.parent == path.absolute():
        files |= {database.name, database.name + JOURNAL}
    for entry in sorted(os.scandir(path), key=lambda e: e.name):
        if not _is_expected(entry, files, folders):
            known = entry.name in files | folders
            name = "file_link" if known and entry.is_symlink() else "file_foreign"
            yield _problem(name, path / entry.name)
    yield from _odd_kept(path)
    for name, other in others_in(path, {*attached, *_noted(path)}):
        yield _problem(name, other)


def _odd_kept(path: Path) -> Iterator[Problem]:
    """Yield what is no plain file in the user's folders, and no draft among drafts."""
    for folder in _LOOSE:
        yield from _odd_below(path / folder)
    for other in sorted((path / _DRAFTS).rglob("*")):
        if not _is_draft(other.relative_to(path / _DRAFTS)):
            yield _problem("file_foreign", other)


def _is_expected(
    entry: os.DirEntry[str], files: Collection[str], folders: Collection[str]
) -> bool:
    kind = entry.stat(follow_symlinks=False).st_mode
    if entry.name in folders:
        return stat.S_ISDIR(kind)
    return entry.name in files and stat.S_ISREG(kind)


def right_problems(path: Path, database: Path | None) -> Iterator[Problem]:
    """Yield files of a site that everybody on the machine may read or write.

    A group's rights are for whoever keeps the site to give.
    """
    if os.name != "posix":
        return  # no such rights are told there
    files = {path / SETTINGS_FILE: stat.S_IWOTH}
    if database is not None:
        files[database] = stat.S_IRWXO  # contacts stand in it in clear
    for file, rights in files.items():
        if file.stat().st_mode & rights:
            yield _problem("file_open", file)


def name_problems(path: Path, database: Path | None) -> Iterator[Problem]:
    """Yield the files of a site that have a name elsewhere too: hard links."""
    for file in filter(None, (path / SETTINGS_FILE, database)):
        count = file.stat().st_nlink
        if count > 1:
            facts = {"place": str(file), "count": count}
            yield Problem("verify.file_names", facts)


def _odd_below(folder: Path) -> Iterator[Problem]:
    """Yield what is no plain file in a folder of the user's own."""
    if folder.is_symlink() or not folder.is_dir():
        return  # named already, or not there
    for other in sorted(folder.iterdir()):
        kind = other.lstat().st_mode
        if not stat.S_ISREG(kind):
            yield _problem(
                "file_link" if stat.S_ISLNK(kind) else "file_not_plain", other
            )


def _noted(path: Path) -> Iterator[str]:
    """Yield the files that a stopped run put into the store; the next settles them."""
    for note in (path / _DRAFTS / ASIDE).glob("*"):
        if _is_draft(note.relative_to(path / _DRAFTS)):
            file = path_of(path, note.name)
            if file.is_file() and not file.is_symlink() and _holds_its_name(file):
                yield note.name


def _holds_its_name(file: Path) -> bool:
    with file.open("rb") as data:
        return hash_of(data)[0] == file.name


def _is_draft(name: Path) -> bool:
    first, *more = name.parts
    is_hash = all(re.fullmatch("[0-9a-f]{64}", part) for part in more)
    return (first == LOCK and not more) or (first in {NEW, ASIDE} and is_hash)


def _problem(name: str, place: Path) -> Problem:
    return Problem(f"verify.{name}", {"place": str(place)})
