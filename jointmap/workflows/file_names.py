"""File names from tags: plain letters, digits and hyphens, unique without case."""

import re
from collections.abc import Iterable

_PLAIN = re.compile(r"[A-Za-z0-9-]")


def file_names(tags: Iterable[str]) -> dict[str, str]:
    """Return a file name stem for each tag.

    Anything but ASCII letters, digits and hyphen becomes ``_hex``; a stem that differs
    from an earlier one in case only gets the tag's own bytes behind it.
    """
    found: dict[str, str] = {}
    taken: set[str] = set()
    for tag in tags:
        stem = "".join(c if _PLAIN.match(c) else f"_{ord(c):x}" for c in tag)
        if stem.lower() in taken:
            stem = f"{stem}_{tag.encode().hex()}"
        taken.add(stem.lower())
        found[tag] = stem
    return found
