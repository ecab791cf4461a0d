"""Indexes by which rows are found that lie beside others, in time and in place."""

from pathlib import Path

from jointmap.storage.migrations.frozen import add_indexes

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    """Add the indexes; no row is touched."""
    add_indexes(Path(__file__).with_suffix(".csv"))
