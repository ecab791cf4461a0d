"""Every name that the program gives to a file or folder of its own accord.

What lies in a site folder under another name is not of this program.
"""

import re
from pathlib import Path

SETTINGS_FILE = "site.toml"
REGISTER = "register.sqlite"
# What SQLite keeps beside a register while somebody writes, or was stopped writing.
JOURNAL = "-journal"
# What it keeps there in a way of writing that no register is set to: never ours.
WRITE_AHEAD = ("-wal", "-shm")
JOURNALS = (JOURNAL, *WRITE_AHEAD)
ATTACHMENTS = "attachments"
TEMPLATES = "templates"
MODELS = "models"

# The list of what a published folder holds, in that folder.
MANIFEST = "jointmap-pages.json"

# Beside whatever is being written lies one folder; what is in it:
LOCK = "lock"  # held by the writer whose turn it is
NEW = "new"  # the drafts
OLD = "old"  # what stood in the place, where two cannot change places at once
ASIDE = "aside"  # what is needed on the way
BEGUN = "begun"  # something was begun elsewhere that the next run has to know of

_BESIDE = re.compile(r"\.(.+)\.jointmap")


def beside(place: Path) -> Path:
    """Return the folder in which what goes to ``place`` is made ready."""
    return place.with_name(f".{place.name}.jointmap")


def made_ready_for(folder: Path) -> Path | None:
    """Return the place that a folder of drafts belongs to; nothing for another."""
    match = _BESIDE.fullmatch(folder.name)
    return folder.with_name(match[1]) if match else None
