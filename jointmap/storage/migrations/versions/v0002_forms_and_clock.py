"""What an entry of form 2 tells: forms of its kinds, machine's time, training day."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Add the columns; entries that are there keep their bytes and hold nothing."""
    for name in ("machine_at", "training_on", "forms"):
        op.add_column("entry", sa.Column(name, sa.String(), nullable=True))
