"""Indexes by which a few rows are found: natural keys, and what belongs to what."""

import csv
from pathlib import Path

from alembic import op

from jointmap.storage.migrations.frozen import rows_held

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    """Add the indexes; no row is touched."""
    text = Path(__file__).with_suffix(".csv").read_text(encoding="utf-8")
    for row in csv.DictReader(text.splitlines()):
        held = rows_held(row["current_only"])
        op.create_index(
            row["name"],
            row["table"],
            row["columns"].split(),
            sqlite_where=held,
            postgresql_where=held,
        )
