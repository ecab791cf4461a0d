"""A published folder: made ready beside its place, then put there whole.

What is no longer published is gone, pages that did not change stay the same files, and
what somebody else laid into the folder is carried over and told.
"""

import os
import shutil
from collections.abc import Iterable, Iterator, Mapping
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from jointmap.errors import Problem, WrongUse
from jointmap.files.folder_content import Found, both, everything_in, holds, look_into
from jointmap.files.manifest import Manifest, SiteMark, read_manifest, sha256
from jointmap.files.names import MANIFEST
from jointmap.files.output_places import place_of, published_above
from jointmap.files.turns import Turn, turn

_NAMED = 5


@dataclass(frozen=True, slots=True)
class Published:
    """A folder whose turn it is to be published."""

    out: Path
    kind: str
    site: SiteMark
    force: bool
    turn: Turn
    found: Found
    told: list[Problem] = field(default_factory=list)

    def nested(self, below: str, kind: str) -> dict[str, str]:
        """Return the folders of ``kind`` published below a folder of this one.

        Only those of this site, each with the state of the register that it tells of.
        """
        return {
            folder.name: listed.state
            for folder, listed in self._lists_within()
            if folder.parent.as_posix() == below
            if listed.kind == kind and not listed.of_other(self.site)
        }

    def _lists_within(self) -> Iterator[tuple[Path, Manifest]]:
        for name in self.found.nested():
            listed = read_manifest(self.turn.place / name)
            if listed is not None:
                yield Path(name), listed

    def put(self, pages: Iterable[tuple[str, str | bytes]], state: str) -> None:
        """Put these pages, and what is carried over, in the place of the old ones.

        Each page is written beside the place as soon as it is made, and let go. Raises
        ``WrongUse`` where a page was changed by hand, or a file of others lies where a
        page goes, unless forced.
        """
        draft, place = self.turn.draft, self.turn.place
        draft.mkdir()
        made = {n: _make(draft / n, text, place / n) for n, text in pages}
        self._check(made)
        self._tell_of_other_sites()
        manifest = Manifest(self.kind, self.site, state, made)
        _make(draft / MANIFEST, manifest.text(), place / MANIFEST)
        self._carry(draft, made)
        if place.exists():
            shutil.copymode(place, draft)
        old = self.turn.put()
        if old is not None:
            self._rescue(old)

    def _check(self, pages: Mapping[str, str]) -> None:
        way = self.found.in_the_way(pages)
        facts = [{"place": str(self.out), "name": name} for name in way]
        if way and not self.force:
            raise WrongUse([Problem("output.edited", f) for f in facts])
        self.told.extend(Problem("output.replaced_page", f) for f in facts)

    def _tell_of_other_sites(self) -> None:
        facts = {"place": str(self.out)}
        replaced = self.found.manifest and self.found.manifest.of_other(self.site)
        if replaced:
            named = both(self.site, replaced) | facts
            self.told.append(Problem("output.replaced_site", named))
        for folder, listed in self._lists_within():
            if other := listed.of_other(self.site):
                named = both(self.site, other) | facts | {"name": folder.as_posix()}
                self.told.append(Problem("output.other_within", named))

    def _carry(self, draft: Path, pages: Mapping[str, str]) -> None:
        listed = self.found.is_listed
        stays = [n for n in self.found.files if not (listed(n) or n in pages)]
        for name in stays:
            _same(self.found.files[name], draft / name)
        for name in self.found.empty:
            (draft / name).mkdir(parents=True, exist_ok=True)
        self._tell([n for n in self.found.others() if n in set(stays)])

    def _tell(self, names: list[str]) -> None:
        if names:
            shown = ", ".join(map(_printable, names[:_NAMED]))
            facts = {"place": str(self.out), "count": len(names), "names": shown}
            self.told.append(Problem("output.carried", facts))

    def _rescue(self, old: Path) -> None:
        """Bring over what was laid into the old folder while the new one was made."""
        late = []
        for path in everything_in(old):
            name = path.relative_to(old).as_posix()
            target = self.turn.place / name
            is_known = name in self.found.files or name == MANIFEST
            if not (is_known or os.path.lexists(target)):
                target.parent.mkdir(parents=True, exist_ok=True)
                path.replace(target)
                late.append(name)
        self._tell(late)


@contextmanager
def publishing(
    out: Path, kind: str, site: SiteMark, *, force: bool = False
) -> Iterator[Published]:
    """Wait for the turn to publish a folder of a site's pages, look into it, give it.

    Raises ``WrongUse`` where a folder of others, of another kind, or a site stands, and
    unless forced where pages of another site do; within those in any case.
    """
    place = place_of(out)
    look_into(place, out, kind, site, force=force)
    _check_around(place, out, site)
    with ExitStack() as stack:
        for folder in outer(place):
            stack.enter_context(turn(folder))
        place.parent.mkdir(parents=True, exist_ok=True)
        mine = stack.enter_context(turn(place))
        found = look_into(place, out, kind, site, force=force)
        yield Published(out, kind, site, force, mine, found)


def _check_around(place: Path, out: Path, site: SiteMark) -> None:
    for folder in published_above(place):
        listed = read_manifest(folder)
        if other := listed and listed.of_other(site):
            facts = {"place": str(out), "folder": str(folder)}
            raise WrongUse(Problem("output.in_other_site", both(site, other) | facts))


def outer(place: Path) -> list[Path]:
    """Return the published folders around a place, the outermost first.

    Who writes in one of them takes its turn too, so that nothing is written into a
    folder that is just being replaced.
    """
    return list(published_above(place))[::-1]


def _make(path: Path, page: str | bytes, old: Path) -> str:
    """Write a page, or let it be the old one where that is the same; its SHA-256."""
    data = page.encode() if isinstance(page, str) else page
    path.parent.mkdir(parents=True, exist_ok=True)
    if os.path.lexists(old) and old.is_file() and holds(old, data):
        _same(old, path)
    else:
        path.write_bytes(data)
        if old.is_file() and not old.is_symlink():
            shutil.copymode(old, path)
    return sha256(data)


def _same(old: Path, new: Path) -> None:
    """Let ``new`` be the very file that ``old`` is, or a copy, or the same link."""
    new.parent.mkdir(parents=True, exist_ok=True)
    if old.is_symlink():
        new.symlink_to(old.readlink())
        return
    try:
        new.hardlink_to(old)
    except OSError:
        shutil.copy2(old, new)


def _printable(name: str) -> str:
    return os.fsencode(name).decode("utf-8", "backslashreplace")
