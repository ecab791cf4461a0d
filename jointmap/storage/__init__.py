"""SQL and the record chain; nothing else touches a database."""

from jointmap.storage.chain.entries import Entry
from jointmap.storage.reading import Reading
from jointmap.storage.register_file import Register
from jointmap.storage.writing import Writing

__all__ = ["Entry", "Reading", "Register", "Revision", "Writing"]
