"""The register: one database, one or more sites, read and written whole."""

import datetime as dt
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Self

import sqlalchemy as sa
from sqlalchemy.engine import Engine

from jointmap.errors import Problem, WrongUse
from jointmap.storage.database import (
    check_schema,
    create_schema,
    open_engine,
    reading,
    writing,
)
from jointmap.storage.reading import Reading, begin_reading
from jointmap.storage.schema import SITES
from jointmap.storage.writing import Writing


@dataclass(frozen=True, slots=True)
class Register:
    """One site's register in a database."""

    engine: Engine
    site_id: int
    site_code: str
    key: bytes

    @classmethod
    def create(cls, url: str, site_code: str, key: bytes) -> Self:
        """Make a new database at ``url`` with one empty site in it.

        ``key`` (32 bytes) makes the salts of withheld values; keep it with the site.
        """
        engine = open_engine(url)
        create_schema(engine)
        with writing(engine) as connection:
            values = {"site_id": 1, "code": site_code, "key": key}
            connection.execute(SITES.insert().values(values))
        return cls(engine, 1, site_code, key)

    @classmethod
    def open(cls, url: str, site_code: str) -> Self:
        """Open the register of ``site_code``; refuses what is no register of ours."""
        engine = open_engine(url)
        place = engine.url.render_as_string(hide_password=True)
        check_schema(engine, place)
        with reading(engine) as connection:
            row = connection.execute(sa.select(SITES).filter_by(code=site_code)).first()
        if row is None:
            raise WrongUse(Problem("storage.no_site", {"code": site_code, "place": place}))
        return cls(engine, row.site_id, row.code, bytes(row.key))

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
    def write(self, now: dt.datetime, by: str, reason: str) -> Iterator[Writing]:
        """Give one transaction; it becomes one entry, or nothing at all."""
        with writing(self.engine) as connection:
            lock = sa.select(SITES.c.site_id).where(SITES.c.site_id == self.site_id)
            connection.execute(lock.with_for_update()).all()
            job = Writing(connection, self.site_id, self.site_code, self.key)
            yield job
            job.finish(now, by, reason)

    @contextmanager
    def try_out(self) -> Iterator[Writing]:
        """Give a transaction that is thrown away at the end, whatever it did."""
        with self.engine.connect() as plain:
            connection = plain.execution_options(writing=True)
            with connection.begin() as transaction:
                yield Writing(connection, self.site_id, self.site_code, self.key)
                transaction.rollback()

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()
