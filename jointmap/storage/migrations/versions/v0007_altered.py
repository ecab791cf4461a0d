"""What facts were until they were altered: a table of its own."""

from pathlib import Path

from alembic import op

from jointmap.storage.guard import put_guard
from jointmap.storage.migrations.frozen import read_tables

revision = "0007"
down_revision = "0006"


def upgrade() -> None:
    """Add the table of alterations, guarded like every other."""
    tables = read_tables(Path(__file__).with_suffix(".csv"))
    for table in tables:
        table.create(op.get_bind())
    put_guard(op.get_bind(), tables)
