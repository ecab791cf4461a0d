"""All rows of a site in the order of the chain, each with what is wrong with it."""

import heapq
from collections.abc import Generator, Iterator, Sequence
from contextlib import ExitStack, closing
from typing import Any, NamedTuple

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from jointmap.register import FORMS
from jointmap.storage.chain.canonical import Plain
from jointmap.storage.chain.past_forms import read_stated
from jointmap.storage.schema import quoted, table_of
from jointmap.storage.verifying.row_checks import Checks

_FETCHED = 2_000  # rows that a server sends at a time
_NOWHERE = 2**62  # where a row sorts whose entry is not even a number


class Row(NamedTuple):
    """One row as stored; ``fault`` is empty where its leaf fits its values."""

    entry: int
    position: int
    leaf: bytes
    fault: str
    kind: str
    id: int
    revision: int
    values: Sequence[Plain]


def each_row(
    connection: Connection, site_id: int, key: bytes
) -> Generator[Row, None, None]:
    """Yield every row by entry and position; ``key`` is the site's, for the salts."""
    stated = read_stated(connection, site_id)
    checks = [Checks(form, key, stated) for form in FORMS.values()]
    streams = [_rows(connection, site_id, check) for check in checks]
    with ExitStack() as stack:
        # Who stops early still leaves no cursor open on the server.
        for stream in streams:
            stack.callback(stream.close)
        yield from _merged(streams)


def _merged(streams: Sequence[Iterator[Row]]) -> Iterator[Row]:
    # Rows of one kind come in long runs, so most steps touch one stream only.
    heads = [(row, n) for n, rows in enumerate(streams) for row in _first(rows)]
    heap = [(row[0], row[1], n, row) for row, n in heads]
    heapq.heapify(heap)
    while heap:
        _, _, n, row = heapq.heappop(heap)
        bound = heap[0][:2] if heap else (_NOWHERE, _NOWHERE)
        yield row
        for row in streams[n]:
            if (row[0], row[1]) > bound:
                heapq.heappush(heap, (row[0], row[1], n, row))
                break
            yield row


def _first(rows: Iterator[Row]) -> Iterator[Row]:
    row = next(rows, None)
    if row is not None:
        yield row


def _rows(
    connection: Connection, site_id: int, checks: Checks
) -> Generator[Row, None, None]:
    form = checks.form
    lead = ("entry", "position", "leaf", "id", "revision")
    salts = [f"{c.name}_salt" for c in form.columns if c.withheld]
    columns = (*lead, *(c.name for c in form.columns), *salts)
    kind, width = form.kind, len(lead)
    before: object = None
    check = checks.of(before)
    with closing(_selected(connection, table_of(kind), columns, site_id)) as rows:
        for row in rows:
            entry, position, leaf, id_, revision = row[:width]
            if entry != before:
                check, before = checks.of(entry), entry
            if type(leaf) is bytes:
                fault = check(leaf, id_, revision, row[width:])
            else:
                leaf, fault = b"", "row"
            if type(entry) is not int or type(position) is not int:
                entry, position, fault = _NOWHERE, 0, "row"
            yield Row(entry, position, leaf, fault, kind, id_, revision, row[width:])


def raw_rows(
    connection: Connection, table: sa.Table, site_id: int
) -> Iterator[tuple[Any, ...]]:
    """Yield the whole rows of one site in the table's column order, unread."""
    return _selected(connection, table, [c.name for c in table.columns], site_id)


def _selected(
    connection: Connection, table: sa.Table, columns: Sequence[str], site_id: int
) -> Generator[tuple[Any, ...], None, None]:
    order = ["site_id", "entry", *(["position"] if "position" in table.c else [])]
    sql = (
        f"SELECT {quoted(columns)} FROM {table.name}"  # noqa: S608
        f" WHERE site_id = {int(site_id)} ORDER BY {', '.join(order)}"
    )
    driver: Any = connection.connection
    if connection.dialect.name == "sqlite":
        yield from driver.cursor().execute(sql)
        return
    with driver.cursor(name=f"rows_{table.name}") as cursor:
        cursor.itersize = _FETCHED
        yield from cursor.execute(sql)
