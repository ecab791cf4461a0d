"""Putting a file into the store, with a note of it until a record speaks of it."""

from pathlib import Path

from jointmap.files.names import ASIDE, NEW, beside
from jointmap.files.single import write_private


def put_noted(path: Path, data: bytes) -> None:
    """Put a file into the store under its hash, whole or not at all, and note it."""
    drafts = beside(path.parents[1])
    ours = (drafts, drafts / NEW, drafts / ASIDE)
    for folder in (*ours, path.parents[1], path.parent):
        folder.mkdir(mode=0o700, exist_ok=True)
    draft, note = drafts / NEW / path.name, drafts / ASIDE / path.name
    write_private(draft, data)
    if not note.exists():
        write_private(note)
    draft.replace(path)
