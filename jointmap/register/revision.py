"""One revision of a record, as a register keeps it."""

from dataclasses import dataclass

from jointmap.register.fields import Record


@dataclass(frozen=True, slots=True)
class Revision:
    """One revision of a record, and the entry that wrote it."""

    id: int
    revision: int
    entry: int
    superseded_by: int | None
    record: Record
