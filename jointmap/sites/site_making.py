"""Making a site folder: beside its place, then put there whole.

A run that was stopped may be repeated, also when a server has the site already.
"""

import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from jointmap.errors import JointmapError, Problem, WrongUse
from jointmap.files import check_new_place
from jointmap.files.locks import PRIVATE
from jointmap.files.names import REGISTER
from jointmap.files.output_places import place_of
from jointmap.files.single import write_private
from jointmap.files.turns import Turn, clear_beside
from jointmap.register.same_letters import odd_mark
from jointmap.storage import Register
from jointmap.storage.database import file_of, without_password

_CODE_LETTERS = 40  # our choice: it stands in every entry and on every page


def check_code(code: str) -> None:
    """Refuse a code that is too long, or more than letters, digits and hyphens.

    It stands in file names, addresses and commands, where other marks may act.
    """
    plain = all(c == "-" or c.isalpha() or c.isdecimal() for c in code)
    fits = 0 < len(code) <= _CODE_LETTERS and not code.startswith("-")
    if not (plain and fits) or odd_mark(code):
        raise WrongUse(Problem("new.code", {"most": _CODE_LETTERS}, value=code))


def check_address(database: str) -> None:
    """Refuse a file, which two sites would share, as the address of a server."""
    if database != REGISTER and "://" not in database:
        raise WrongUse(Problem("restore.database", value=database))


def free_place(path: Path) -> Path:
    """Return the place of a new site folder; refuses one that holds anything."""
    clear_beside(path)
    if path.exists() and not (path.is_dir() and not any(path.iterdir())):
        raise WrongUse(Problem("restore.not_empty", {"place": str(path)}))
    place = check_new_place(path)
    place.parent.mkdir(parents=True, exist_ok=True)
    return place


def private_folder(path: Path) -> Path:
    """Make a folder into which only its owner may look."""
    path.mkdir(mode=PRIVATE)
    return path


def make_register(
    folder: Path, address: str, code: str, key: bytes, *, before: bool
) -> None:
    """Make an empty register, unless a run ``before`` this one made it."""
    file = file_of(address)
    if file is not None and folder not in file.parents:
        place_of(file)  # not among another site's files
    if not (before and _is_half_made(address, code)):
        Register.create(address, code, key).close()


def _is_half_made(address: str, code: str) -> bool:
    """Whether a stopped run made the site, in which nothing was recorded since."""
    try:
        register = Register.open(address, code)
    except JointmapError:
        return False
    empty = register.is_empty()
    register.close()
    return empty


def put_site(mine: Turn) -> None:
    """Put a finished site folder in its place."""
    if mine.place.exists():
        # Whoever made the folder said who may look into it.
        mine.draft.chmod(mine.place.stat().st_mode & 0o7777)
    mine.put()
    mine.begun.unlink(missing_ok=True)


@contextmanager
def begun_elsewhere(mine: Turn, code: str, address: str) -> Iterator[bool]:
    """Note that a site is being made outside of its folder; give whether it was before.

    Who is stopped when a server has the site already can so begin again.
    """
    if file_of(address) == mine.draft / REGISTER:
        yield False
        return
    note = json.dumps([code, without_password(address)]).encode()
    before = mine.begun.exists() and mine.begun.read_bytes() == note
    if not before:
        mine.begun.unlink(missing_ok=True)
        write_private(mine.begun, note)
    try:
        yield before
    except JointmapError:
        mine.begun.unlink(missing_ok=True)
        raise
