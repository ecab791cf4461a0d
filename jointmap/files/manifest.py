"""The list that a published folder carries: what this program wrote there."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from jointmap.files.marks import NAME
from jointmap.files.names import MANIFEST

_FORM = 1


@dataclass(frozen=True, slots=True)
class Manifest:
    """What kind of folder it is, of which state, and each file with its SHA-256."""

    kind: str
    state: str
    files: Mapping[str, str]

    def text(self) -> str:
        """Return it as JSON: the same folder, the same text."""
        told = {
            "program": NAME,
            "form": _FORM,
            "kind": self.kind,
            "state": self.state,
            "files": dict(sorted(self.files.items())),
        }
        return json.dumps(told, ensure_ascii=False, indent=1) + "\n"


def manifest_of(kind: str, state: str, pages: Mapping[str, bytes]) -> Manifest:
    """Return the list of ``pages``, of a register in ``state``."""
    return Manifest(kind, state, {name: sha256(data) for name, data in pages.items()})


def sha256(data: bytes) -> str:
    """Return the SHA-256 of a file's bytes."""
    return hashlib.sha256(data).hexdigest()


def read_manifest(folder: Path) -> Manifest | None:
    """Return a folder's list; nothing where there is none, or none that makes sense."""
    try:
        told = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
        if (told["program"], told["form"]) != (NAME, _FORM):
            return None
        files = {str(k): str(v) for k, v in told["files"].items() if _is_below(k)}
        return Manifest(str(told["kind"]), str(told["state"]), files)
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


def _is_below(name: str) -> bool:
    path = PurePosixPath(name)
    return not path.is_absolute() and ".." not in path.parts
