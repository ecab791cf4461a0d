"""The sheets of a delivery, read: each file within the limits, in a process apart."""

import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from jointmap.attached.apart import answers
from jointmap.errors import Problem, Refused, WrongUse
from jointmap.exchange import SHEETS, Read, read_drafts, read_file
from jointmap.how_far import HowFar, to_nobody
from jointmap.incoming import Delivery, read_plain_file
from jointmap.incoming.size_limits import DELIVERY_FILES, beyond


def paths_of(files: Sequence[Path]) -> list[Path]:
    """Return the files of a delivery; a folder stands for its own plain files."""
    return [p for f in files for p in (_sheets_in(f) if f.is_dir() else [f])]


def read_sheets(paths: Sequence[Path], tell: HowFar = to_nobody) -> list[Read]:
    """Return what each file gave, in the order in which references can be resolved.

    Raises ``Refused`` with every fault of a file as a whole.
    """
    if not paths:
        raise WrongUse(Problem("load.nothing"))
    if len(paths) > DELIVERY_FILES.most:
        raise beyond(DELIVERY_FILES, len(paths), paths[0].parent.name)
    reading = _Reading()
    steps = [(_shown(p), partial(reading.read, p)) for p in paths]
    found = answers(steps, tell=tell)
    wrong = [p for f in found if isinstance(f, Refused) for p in f.problems]
    if wrong:
        raise Refused(wrong)
    sound = [f for f in found if not isinstance(f, Refused)]
    return [read for _, _, read in sorted(sound, key=lambda f: f[:2])]


def _sheets_in(folder: Path) -> list[Path]:
    """Return what lies in a folder itself; what is no plain file is refused later."""
    return sorted(
        Path(e.path) for e in _entries(folder) if not e.is_dir(follow_symlinks=False)
    )


def _entries(folder: Path) -> Iterator[os.DirEntry[str]]:
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.name != "delivery.toml" and not entry.name.startswith("."):
                yield entry


def _shown(path: Path) -> str:
    return os.fsencode(path.name).decode("utf-8", "backslashreplace")


@dataclass(slots=True)
class _Reading:
    """Reads file after file, and counts what they bring in all."""

    delivery: Delivery = field(default_factory=Delivery)

    def read(self, path: Path) -> tuple[int, str, Read]:
        """Return the place of a file's sheet, its name, and what it gave."""
        try:
            data = read_plain_file(path)
        except FileNotFoundError:
            raise Refused(Problem("file.not_found", file=str(path))) from None
        except OSError as error:
            facts = {"error": error.strerror or str(error)}
            raise Refused(Problem("file.unreadable", facts, path.name)) from None
        self.delivery.add(path.name, size=len(data))
        sent = read_file(path.name, data)
        self.delivery.add(path.name, rows=len(sent.rows))
        return list(SHEETS).index(sent.sheet.name), sent.name, read_drafts(sent)
