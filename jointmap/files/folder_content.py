"""What lies in a folder before it is published again."""

import os
import stat
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from jointmap.errors import Problem, WrongUse
from jointmap.files.manifest import Manifest, SiteMark, read_manifest, sha256
from jointmap.files.names import MANIFEST, SETTINGS_FILE, made_ready_for
from jointmap.files.turns import clear_left

_NAMED = 5  # files that a sentence names


@dataclass(frozen=True, slots=True)
class Found:
    """The files below a folder by name, its list, and folders that hold nothing."""

    manifest: Manifest | None
    files: dict[str, Path]
    empty: tuple[str, ...]

    def is_listed(self, name: str) -> bool:
        """Whether this program wrote the file, as a page of this very folder."""
        return self.manifest is not None and name in self.manifest.files

    def nested(self) -> list[str]:
        """Return the folders within that were published for themselves."""
        lists = (PurePosixPath(n) for n in self.files)
        return sorted(p.parent.as_posix() for p in lists if p.name == MANIFEST)

    def others(self) -> list[str]:
        """Return the files that this program did not write."""
        nested = tuple(f"{folder}/" for folder in self.nested())
        return [
            n for n in self.files if not (self.is_listed(n) or n.startswith(nested))
        ]

    def in_the_way(self, pages: Mapping[str, str]) -> list[str]:
        """Return the files that would be lost: pages changed by hand, and strangers.

        ``pages`` holds the SHA-256 of each new page by its name.
        """
        return [n for n in self.files if self._would_be_lost(n, pages.get(n))]

    def _would_be_lost(self, name: str, page: str | None) -> bool:
        is_listed = self.manifest is not None and self.is_listed(name)
        if page is None and not is_listed:
            return False
        path = self.files[name]
        own = None if path.is_symlink() else sha256(path.read_bytes())
        if own is not None and own == page:
            return False
        return self.manifest is None or own != self.manifest.files.get(name)


def holds(path: Path, page: bytes | None) -> bool:
    """Whether a file is a plain one that holds this very page."""
    if page is None or path.is_symlink() or path.stat().st_size != len(page):
        return False
    return path.read_bytes() == page


def look_into(
    place: Path, out: Path, kind: str, site: SiteMark, *, force: bool
) -> Found:
    """Return what lies in a folder; refuses one that is not of this kind, or of others.

    ``force`` allows the pages of another site. Raises ``WrongUse``; nothing is changed
    but what stopped runs left there.
    """
    if not os.path.lexists(place):
        return Found(None, {}, ())
    facts = {"place": str(out)}
    _check_place(place, facts)
    manifest = read_manifest(place)
    if manifest is not None:
        _check_list(manifest, kind, None if force else site, facts)
    found = _looked(place, manifest, facts)
    others = found.others()
    if manifest is None and others:
        named = {**facts, "names": ", ".join(others[:_NAMED])}
        raise WrongUse(Problem("output.folder_not_ours", named))
    return found


def _check_place(place: Path, facts: dict[str, str]) -> None:
    """Refuse what is no folder, and one that the command itself stands in."""
    if not place.is_dir():
        raise WrongUse(Problem("output.is_file", facts))
    if _stands_in(place):
        raise WrongUse(Problem("output.inside", facts))


def _check_list(
    manifest: Manifest, kind: str, site: SiteMark | None, facts: dict[str, str]
) -> None:
    """Refuse pages of another kind, and those of another site than ``site``."""
    if manifest.kind != kind:
        kinds = {**facts, "kind": kind, "found": manifest.kind}
        raise WrongUse(Problem("output.other_kind", kinds))
    other = site and manifest.of_other(site)
    if site and other:
        raise WrongUse(Problem("output.other_site", both(site, other) | facts))


def both(site: SiteMark, other: SiteMark) -> dict[str, str]:
    """Return how a sentence names a site, and another one that was found."""
    return {"site": site.shown(other), "found": other.shown(site)}


def _stands_in(place: Path) -> bool:
    try:
        here = Path(os.path.realpath(Path.cwd()))
    except FileNotFoundError:
        return False
    return place in (here, *here.parents)


def _looked(place: Path, manifest: Manifest | None, facts: dict[str, str]) -> Found:
    files, empty, strangers = {}, [], 0
    for path in everything_in(place):
        name = path.relative_to(place).as_posix()
        if path.is_dir() and not path.is_symlink():
            empty.append(name)
        elif name != MANIFEST or manifest is None:
            _check_kind(path, facts)
            files[name] = path
        strangers += manifest is None and not _is_under_list(path, place)
        if strangers > _NAMED:
            break  # of others: no need to go through all of a large folder
    return Found(manifest, files, tuple(empty))


def _is_under_list(path: Path, place: Path) -> bool:
    between = (p for p in path.parents if place in p.parents)
    return any((p / MANIFEST).is_file() for p in between)


def _check_kind(path: Path, facts: dict[str, str]) -> None:
    if path.name == SETTINGS_FILE:
        raise WrongUse(Problem("output.holds_site", {**facts, "site": str(path)}))
    mode = path.lstat().st_mode
    if not (stat.S_ISREG(mode) or stat.S_ISLNK(mode)):
        raise WrongUse(Problem("output.special", {**facts, "name": str(path)}))


def everything_in(folder: Path) -> Iterator[Path]:
    """Yield every file, link and empty folder below ``folder``; links are not followed.

    What stopped runs left is cleared away before.
    """
    clear_left(folder)
    entries = sorted(folder.iterdir())
    for path in entries:
        if made_ready_for(path):
            continue
        if path.is_symlink() or not path.is_dir():
            yield path
        else:
            is_empty = True
            for below in everything_in(path):
                is_empty = False
                yield below
            if is_empty:
                yield path
