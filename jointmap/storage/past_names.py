"""Names that records had before they got others."""

import sqlalchemy as sa

from jointmap.storage.known import Known
from jointmap.storage.schema import table_of


def borne(known: Known, name: str) -> set[int]:
    """Return the ids of the records that had a name in a revision since replaced.

    For kinds whose records are called by a ``name``.
    """
    table = table_of(known.form.kind)
    own = (table.c.site_id == known.site_id) & (table.c.name == name)
    query = sa.select(table.c.id).where(own, table.c.superseded_by.is_not(None))
    return {*known.connection.scalars(query)}
