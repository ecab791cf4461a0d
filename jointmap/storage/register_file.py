"""The register: one database, one or more sites, read and written whole."""

import datetime as dt
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Self, TypeAlias

import sqlalchemy as sa
from sqlalchemy.engine import Connection, Engine

from jointmap.errors import BrokenRegister, Problem, WrongUse
from jointmap.storage.chain.entries import Said
from jointmap.storage.clock import check_clock, times_of
from jointmap.storage.database import (
    check_file,
    make_private_file,
    open_engine,
    reading,
    trying,
    writing,
)
from jointmap.storage.opening import add_site, check_schema
from jointmap.storage.place_named import place_of
from jointmap.storage.read_only import read_only
from jointmap.storage.reading import Reading, begin_reading
from jointmap.storage.schema import ENTRIES, SITES
from jointmap.storage.writing import Writing

Trial: TypeAlias = Callable[[Reading], object]


@dataclass(frozen=True, slots=True)
class Register:
    """One site's register in a database."""

    engine: Engine
    site_id: int
    site_code: str
    key: bytes
    training_on: dt.date | None = None
    # Somebody looked at this machine's clock and says that it is right.
    clock_is_right: bool = False

    @classmethod
    def create(
        cls, url: str, site_code: str, key: bytes, training_on: dt.date | None = None
    ) -> Self:
        """Add an empty site to the database at ``url``, making its tables if need be.

        ``key`` (32 bytes) makes the salts of withheld values; the database keeps it.
        ``training_on`` is the fixed day of a training site, told in each entry. Raises
        ``WrongUse`` where a site has this code already.
        """
        engine = open_engine(url)
        make_private_file(engine)
        with writing(engine) as connection:
            site_id = add_site(connection, site_code, key)
        return cls(engine, site_id, site_code, key, training_on)

    @classmethod
    def open(
        cls,
        url: str,
        site_code: str,
        training_on: dt.date | None = None,
        *,
        only_reads: bool = False,
    ) -> Self:
        """Open the register of ``site_code``; refuses what is no register of ours.

        With ``only_reads`` the database itself refuses whatever would write.
        """
        engine = open_engine(url)
        if only_reads:
            engine = read_only(engine)
        place = place_of(engine.url)
        if engine.dialect.name == "sqlite":
            check_file(Path(place))
        check_schema(engine)
        with reading(engine) as connection:
            row = connection.execute(sa.select(SITES).filter_by(code=site_code)).first()
        if row is None:
            facts = {"code": site_code, "place": place}
            raise WrongUse(Problem("storage.no_site", facts))
        if not isinstance(row.key, bytes):
            raise BrokenRegister(Problem("verify.site_key", {"code": site_code}))
        return cls(engine, row.site_id, row.code, row.key, training_on)

    @contextmanager
    def read(self, known: dt.date | None = None) -> Iterator[Reading]:
        """Give the state of the register, now or as known at the end of ``known``.

        Raises ``WrongUse`` where nothing had been recorded by then.
        """
        with reading(self.engine) as connection:
            state = begin_reading(connection, self.site_id, known)
            if not state.entries:
                facts = {"known": known or "now", "code": self.site_code}
                raise WrongUse(Problem("storage.nothing_known", facts))
            yield state

    @contextmanager
    def write(
        self,
        now: dt.datetime,
        by: str,
        reason: str,
        files: Iterable[Path] = (),
        *,
        trial: Trial | None = None,
        keeps: bool = True,
    ) -> Iterator[Writing]:
        """Give one transaction; it becomes one entry, or nothing at all.

        ``files`` are those that are loaded. ``trial`` gets the state that there would
        be, before it is kept; what it raises leaves everything as it was, what it
        returns is then ``found`` of the transaction. Without
        ``keeps`` all is thrown away at the end. Raises ``WrongUse`` where the machine's
        time is far from all others, unless its clock was said to be right; ``Refused``
        at the end for what ``by`` may not record, and for what asks for two persons and
        has one.
        """
        begin = writing if keeps else trying
        with begin(self.engine) as connection:
            self._take_turn(connection)
            job = Writing(connection, self.site_id, self.site_code, self.key, by)
            if keeps:
                self._check_said(job, now, files)
            yield job
            job.finish(Said(now, by, reason, self.training_on))
            if trial is not None and not job.is_empty:
                job.found = trial(begin_reading(connection, self.site_id, None))

    def _check_said(
        self, job: Writing, now: dt.datetime, files: Iterable[Path]
    ) -> None:
        """Refuse what the entry would say of itself and cannot be right."""
        before = job.before
        if not self.clock_is_right:
            check_clock(job.connection, now, before, times_of(files))
        stated = before is not None and before.forms is not None
        if before and stated and before.training_on != self.training_on:
            facts = {"given": self.training_on, "recorded": before.training_on}
            shown = {name: value or "none" for name, value in facts.items()}
            raise WrongUse(Problem("storage.training_day", shown))

    @contextmanager
    def looking(self) -> Iterator[Connection]:
        """Give a connection that sees one state of all rows, sound or not."""
        with reading(self.engine) as connection:
            yield connection

    def _take_turn(self, connection: Connection) -> None:
        lock = sa.select(SITES.c.site_id).where(SITES.c.site_id == self.site_id)
        connection.execute(lock.with_for_update()).all()

    def is_empty(self) -> bool:
        """Whether nothing was ever recorded of this site."""
        query = sa.select(ENTRIES.c.entry).where(ENTRIES.c.site_id == self.site_id)
        with reading(self.engine) as connection:
            return connection.execute(query.limit(1)).first() is None

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()
