"""Writes .ci/sbom.cdx.json (CycloneDX 1.6): what is installed with the program.

Versions are the lock's; licences and who asks for whom come from the packages installed
here, which must be those of the lock. No time and no random number goes in: the same
lock gives the same bytes. The hashes of the files stand in the lock.
"""

import json
from importlib.metadata import Distribution, distribution

import dependencies
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from jointmap import __version__

FILE = dependencies.ROOT / ".ci" / "sbom.cdx.json"
# What is asked for on a machine depends on it: this is the one of the list.
MACHINE = {
    "python_version": "3.11",
    "python_full_version": "3.11.0",
    "implementation_name": "cpython",
    "platform_python_implementation": "CPython",
    "platform_machine": "x86_64",
    "platform_system": "Linux",
    "sys_platform": "linux",
    "os_name": "posix",
}


def graph() -> dict[str, list[str]]:
    """Return who asks for whom, from the program down, with the PostgreSQL extra."""
    extras: dict[str, set[str]] = {"jointmap": {"postgres"}}
    found: dict[str, list[str]] = {}
    while left := [name for name in extras if name not in found]:
        for name in left:
            wanted = _wanted(name, extras[name])
            for one in wanted:
                extras.setdefault(canonicalize_name(one.name), set()).update(one.extras)
            found[name] = sorted({canonicalize_name(one.name) for one in wanted})
    return dict(sorted(found.items()))


def _wanted(name: str, extras: set[str]) -> list[Requirement]:
    # The program's own from pyproject.toml, not from what was installed at some time.
    if name == "jointmap":
        return dependencies.asked(*extras)
    found = [Requirement(text) for text in distribution(name).requires or []]
    return [r for r in found if _holds(r, extras)]


def _holds(requirement: Requirement, extras: set[str]) -> bool:
    marker = requirement.marker
    places = [{**MACHINE, "extra": extra} for extra in ("", *extras)]
    return marker is None or any(map(marker.evaluate, places))


def licence(name: str) -> str:
    """Return the licence as the package states it."""
    package = distribution(name)
    stated = package.metadata.get("License-Expression") or _classified(package)
    return stated or package.metadata["License"].strip().splitlines()[0]


def _classified(package: Distribution) -> str:
    classes = package.metadata.get_all("Classifier") or []
    own = [c.rsplit(" :: ", 1)[1] for c in classes if c.startswith("License ::")]
    return " AND ".join(x for x in own if x != "OSI Approved")


# Files of others that lie in the wheel itself, with their notices.
ENCLOSED = (
    ("leaflet", "1.9.4", "BSD-2-Clause"),
    ("open-sans", "1.11", "Apache-2.0"),
)


def bill() -> dict[str, object]:
    """Return the whole bill of materials."""
    known, asked = dependencies.locked(), graph()
    refs = {"jointmap": f"jointmap@{__version__}"}
    refs |= {n: _address(known[n]) for n in asked if n != "jointmap"}
    return {
        "$schema": "http://cyclonedx.org/schema/bom-1.6.schema.json",
        "bomFormat": "CycloneDX",
        "specVersion": "1.6",
        "version": 1,
        "metadata": {"component": _program(refs["jointmap"])},
        "components": [
            *(_component(known[n]) for n in asked if n != "jointmap"),
            *(_enclosed(*one) for one in ENCLOSED),
        ],
        "dependencies": [
            {"ref": refs[name], "dependsOn": [refs[other] for other in others]}
            for name, others in asked.items()
        ],
    }


def _program(ref: str) -> dict[str, object]:
    return {
        "type": "application",
        "bom-ref": ref,
        "name": "jointmap",
        "version": __version__,
        "licenses": [{"license": {"id": "Apache-2.0"}}],
    }


def _component(one: dependencies.Locked) -> dict[str, object]:
    return {
        "type": "library",
        "bom-ref": _address(one),
        "name": one.name,
        "version": one.version,
        "licenses": [{"license": {"name": licence(one.name)}}],
        "purl": _address(one),
    }


def _enclosed(name: str, version: str, stated: str) -> dict[str, object]:
    return {
        "type": "library",
        "bom-ref": f"{name}@{version}",
        "name": name,
        "version": version,
        "licenses": [{"license": {"id": stated}}],
    }


def _address(one: dependencies.Locked) -> str:
    return f"pkg:pypi/{one.name}@{one.version}"


def text() -> str:
    """Return what the file holds."""
    return json.dumps(bill(), ensure_ascii=False, indent=1) + "\n"


if __name__ == "__main__":
    FILE.write_text(text(), encoding="utf-8")
