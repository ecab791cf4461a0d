"""The tables of the first release."""

from pathlib import Path

from alembic import op

from jointmap.storage.guard import put_guard
from jointmap.storage.migrations.frozen import read_tables

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make all tables and their guard in an empty database."""
    tables = read_tables(Path(__file__).with_suffix(".csv"))
    connection = op.get_bind()
    for table in tables:
        table.create(connection)
    put_guard(connection, tables)
    connection.execute(tables[0].insert().values(program="jointmap"))
