"""The day from which a law binds, and where that day is from."""

import sqlalchemy as sa
from alembic import op

from jointmap.storage.guard import put_guard, take_guard

revision = "0006"
down_revision = "0005"

ADDED = ("binds_from_on", "binds_from_source")
# The guard names the columns in the order of the record: added ones before these.
ABOUT_THE_ROW = ("origin", "as_written", "correction_reason")


def upgrade() -> None:
    """Add the columns to the rules; rules that are there say nothing of it."""
    connection, metadata = op.get_bind(), sa.MetaData()
    metadata.reflect(connection, only=["record_rule"])
    table = metadata.tables["record_rule"]
    take_guard(connection, [table])
    for name in ADDED:
        op.add_column(table.name, sa.Column(name, sa.String, nullable=True))
    own = [c.name for c in table.c if c.name not in ABOUT_THE_ROW]
    names = [*own, *ADDED, *ABOUT_THE_ROW]
    grown = sa.Table(table.name, sa.MetaData(), *(sa.Column(n) for n in names))
    put_guard(connection, [grown])
