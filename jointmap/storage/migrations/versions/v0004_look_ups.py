"""Indexes by which a few rows are found: natural keys, and what belongs to what."""

from pathlib import Path

from jointmap.storage.migrations.frozen import add_indexes

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    """Add the indexes; no row is touched."""
    add_indexes(Path(__file__).with_suffix(".csv"))
