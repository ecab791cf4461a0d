"""File names from tags: plain letters, digits and hyphens, unique without case."""

import hashlib
import re
from collections.abc import Iterable

_PLAIN = re.compile(r"[A-Za-z0-9-]")
# File systems take 255 bytes; an ending and a draft's own name need some of them.
_LONGEST = 120
_OWN_PAGE = "index"  # every folder has its own
# Some systems take these for devices, with any ending and in any case.
_PORTS = (f"{port}{number}" for port in ("com", "lpt") for number in range(1, 10))
_DEVICES = frozenset({"con", "prn", "aux", "nul", *_PORTS})


def file_names(tags: Iterable[str]) -> dict[str, str]:
    """Return a file name stem for each tag.

    Anything but ASCII letters, digits and hyphen becomes ``_hex``; a stem that is too
    long, differs from an earlier one in case only, or is what some systems call a
    device, ends with a digest of the tag.
    """
    found: dict[str, str] = {}
    taken = {_OWN_PAGE, *_DEVICES}
    for tag in dict.fromkeys(tags):
        stem = "".join(c if _PLAIN.match(c) else f"_{ord(c):x}" for c in tag)
        if stem.lower() in taken or not 0 < len(stem) <= _LONGEST:
            digest = hashlib.sha256(tag.encode()).hexdigest()
            stem = f"{stem[:_LONGEST]}_{digest[:32]}"
        taken.add(stem.lower())
        found[tag] = stem
    return found
