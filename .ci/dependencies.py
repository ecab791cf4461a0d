"""What pyproject.toml asks for and what .ci/lock.txt fixes.

``python .ci/dependencies.py`` prints each lower bound of the program, and of its extra
for PostgreSQL, as a constraint for pip.
"""

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parents[1]
LOCK = ROOT / ".ci" / "lock.txt"


class Locked(NamedTuple):
    """One package of the lock."""

    name: str
    version: str
    hashes: tuple[str, ...]


def project() -> dict[str, Any]:
    """Return the whole of pyproject.toml."""
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def asked(*extras: str) -> list[Requirement]:
    """Return what the program asks for, and what the named extras add."""
    told = project()["project"]
    texts = [*told["dependencies"]]
    texts += [text for e in extras for text in told["optional-dependencies"][e]]
    return [Requirement(text) for text in texts]


def lowest(requirement: Requirement) -> str:
    """Return the one lower bound of a requirement."""
    (bound,) = [s.version for s in requirement.specifier if s.operator == ">="]
    return bound


def locked() -> dict[str, Locked]:
    """Return the packages of the lock by name."""
    return {one.name: one for one in _read(LOCK.read_text(encoding="utf-8"))}


def _read(text: str) -> Iterator[Locked]:
    for block in re.split(r"^(?=[a-z0-9])", text, flags=re.M)[1:]:
        name, version = block.split(maxsplit=1)[0].split("==")
        hashes = tuple(re.findall(r"--hash=sha256:([0-9a-f]{64})", block))
        yield Locked(canonicalize_name(name), version, hashes)


if __name__ == "__main__":
    for one in asked("postgres"):
        print(f"{one.name}=={lowest(one)}")
