"""Putting a file into the store, with a note of it until a record speaks of it."""

from pathlib import Path

from jointmap.files.names import ASIDE, beside
from jointmap.files.single import make_private_folder, write_private


def put_noted(path: Path, draft: Path) -> None:
    """Put a whole file into the store under its hash, and note it."""
    drafts = beside(path.parents[1])
    for folder in (drafts, drafts / ASIDE, path.parents[1], path.parent):
        make_private_folder(folder)
    note = drafts / ASIDE / path.name
    if not note.exists():
        write_private(note)
    draft.replace(path)
