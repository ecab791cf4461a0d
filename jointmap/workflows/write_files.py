"""Writing pages: only what changed, each file whole or not at all."""

from collections.abc import Mapping
from pathlib import Path


def write_changed(folder: Path, pages: Mapping[str, str]) -> None:
    """Write each text whose file does not hold it already, below ``folder``."""
    for name, text in pages.items():
        path = folder / name
        data = text.encode()
        if path.is_file() and path.read_bytes() == data:
            continue
        path.parent.mkdir(parents=True, exist_ok=True)
        # A reader of a shared folder never sees half a page.
        draft = path.with_name(f".{path.name}.part")
        draft.write_bytes(data)
        draft.replace(path)
