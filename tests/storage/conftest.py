"""The same tests on both databases: ``url`` and ``register`` come once for each."""

import itertools
from collections.abc import Iterator
from pathlib import Path

import pytest
import sqlalchemy as sa

from jointmap.storage import Register
from tests.storage.samples import KEY

NUMBERS = itertools.count(1)


@pytest.fixture(
    params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)]
)
def url(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """The address of an empty database, on SQLite and then on PostgreSQL."""
    if request.param == "sqlite":
        return f"sqlite:///{tmp_path}/register.sqlite"
    return empty_database(request.getfixturevalue("postgres_server"))


def empty_database(server: Path) -> str:
    """Make one more database and return its address."""
    psycopg = pytest.importorskip("psycopg")
    name = f"s{next(NUMBERS)}"
    address = f"host={server} user=jointmap dbname=postgres"
    with psycopg.connect(address, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
    return f"postgresql+psycopg://jointmap@/{name}?host={server}"


@pytest.fixture
def register(url: str) -> Iterator[Register]:
    """An empty register of site X."""
    made = Register.create(url, "X", KEY)
    yield made
    made.close()


@pytest.fixture
def outside(url: str) -> Iterator[sa.Connection]:
    """A connection that knows nothing of jointmap, as another program would have."""
    engine = sa.create_engine(url, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        yield connection
    engine.dispose()


@pytest.fixture
def second_url(url: str, tmp_path: Path, request: pytest.FixtureRequest) -> str:
    """The address of another empty database of the same kind."""
    if url.startswith("sqlite"):
        return f"sqlite:///{tmp_path}/second.sqlite"
    return empty_database(request.getfixturevalue("postgres_server"))
