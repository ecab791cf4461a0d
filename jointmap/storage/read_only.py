"""Connections through which nothing can be written, whatever is asked of them."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from sqlalchemy import event
from sqlalchemy.engine import Dialect, Engine


def read_only(engine: Engine) -> Engine:
    """Return an engine like ``engine`` whose connections the database lets only read.

    A SQLite file is opened to read: what a killed writer left beside it stays as it
    is, and is told as ``storage.left_half``.
    """
    if engine.dialect.name != "sqlite":
        return engine.execution_options(postgresql_readonly=True)
    event.listen(engine, "do_connect", _open_to_read)
    return engine


def _open_to_read(
    dialect: Dialect, _record: object, given: Sequence[Any], options: dict[str, Any]
) -> Any:  # noqa: ANN401
    address = f"{Path(given[0]).absolute().as_uri()}?mode=ro"
    driver: Any = dialect.loaded_dbapi
    return driver.connect(address, **{**options, "uri": True})
