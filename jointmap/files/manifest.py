"""The list that a published folder carries: what this program wrote there."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path, PurePosixPath
from typing import Any

from jointmap.files.marks import NAME
from jointmap.files.names import MANIFEST

_FORM = 1


@dataclass(frozen=True, slots=True)
class SiteMark:
    """Which site it is: its code, and the fingerprint of its register's first entry.

    The first entry never changes, so it tells two registers of one code apart.
    """

    code: str
    first: str

    def shown(self, beside: "SiteMark") -> str:
        """Return the code; with the first entry where the other has the code too."""
        return f"{self.code} ({self.first})" if self.code == beside.code else self.code


@dataclass(frozen=True, slots=True)
class Manifest:
    """What kind of folder it is, of what, and each file with its SHA-256.

    ``site`` is nothing in a list of a version that did not write it.
    """

    kind: str
    site: SiteMark | None
    state: str
    files: Mapping[str, str]

    def of_other(self, site: SiteMark) -> SiteMark | None:
        """Return the site that it names, if that is another one."""
        return None if self.site == site else self.site

    def text(self) -> str:
        """Return it as JSON: the same folder, the same text."""
        told = {
            "program": NAME,
            "form": _FORM,
            "kind": self.kind,
            "site": self.site and asdict(self.site),
            "state": self.state,
            "files": dict(sorted(self.files.items())),
        }
        return json.dumps(told, ensure_ascii=False, indent=1) + "\n"


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
        site = _site(told.get("site"))
        return Manifest(str(told["kind"]), site, str(told["state"]), files)
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


def _site(told: Any) -> SiteMark | None:  # noqa: ANN401
    return told and SiteMark(str(told["code"]), str(told["first"]))


def _is_below(name: str) -> bool:
    path = PurePosixPath(name)
    return not path.is_absolute() and ".." not in path.parts
