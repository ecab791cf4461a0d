"""What a database said, as a problem with what to do next; no password in it."""

from collections.abc import Iterator
from contextlib import contextmanager

import sqlalchemy as sa
from sqlalchemy.engine import Engine

from jointmap.errors import BrokenRegister, JointmapError, Problem, Refused, WrongUse
from jointmap.storage.place_named import place_of

NO_ROOM = ("disk is full", "disk I/O error", "53100", "No space left")
# Found in SQLite's message, or PostgreSQL's code: the problem and how it ends.
_TOLD: tuple[tuple[tuple[str, ...], str, type[JointmapError]], ...] = (
    (NO_ROOM, "full", Refused),
    (("SQLITE_READONLY_ROLLBACK",), "left_half", Refused),
    (("readonly", "read-only", "25006"), "read_only", Refused),
    (("is locked", "55P03"), "busy", Refused),
    (
        ("malformed", "not a database", "Could not decode", "XX001", "XX002"),
        "damaged",
        BrokenRegister,
    ),
    (("unable to open", "no such file"), "no_file", WrongUse),
    (("jointmap: nothing",), "guarded", Refused),
    (("no such table", "no such column", "42P01", "42703"), "damaged", BrokenRegister),
)


@contextmanager
def told_plainly(engine: Engine) -> Iterator[None]:
    """Turn what the database says into a problem that names the place."""
    try:
        yield
    except (sa.exc.DBAPIError, engine.dialect.loaded_dbapi.Error) as error:
        said = getattr(error, "orig", error)
        raise _problem(said, place_of(engine.url)) from error


def _problem(error: BaseException, place: str) -> JointmapError:
    code = getattr(error, "sqlstate", None)
    own_name = getattr(error, "sqlite_errorname", "")
    said = f"{code or ''} {own_name} {error}"
    for signs, name, kind in _TOLD:
        if any(sign in said for sign in signs):
            return kind(Problem(f"storage.{name}", {"place": place}))
    first = str(error).strip().partition("\n")[0]
    # A server that never answered has no code to give.
    from_file = type(error).__module__.startswith("sqlite3")
    name = "failed" if code or from_file else "unreachable"
    return Refused(Problem(f"storage.{name}", {"place": place, "error": first}))
