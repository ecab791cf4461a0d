"""Steps from one released set of tables to the next, run by Alembic.

A step adds tables, nullable columns and indexes, never more: history stays as it is,
and a rebuilt table would lose its triggers. After each step the guard is what it must
be.
"""

from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy.engine import Connection

FOLDER = Path(__file__).parent


def migrate(
    connection: Connection, target: str = "head", more: Path | None = None
) -> None:
    """Bring the tables up to ``target``, inside the connection's own transaction.

    ``more`` is a second folder of steps.
    """
    folders = [FOLDER / "versions", *([more] if more else [])]
    config = Config()
    config.set_main_option("script_location", str(FOLDER))
    config.set_main_option("path_separator", "newline")
    config.set_main_option("version_locations", "\n".join(map(str, folders)))
    config.attributes["connection"] = connection
    command.upgrade(config, target)
