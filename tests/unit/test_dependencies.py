"""What is asked for, locked and listed is what is used; nothing is fetched by it."""

import json
import re
import subprocess
import sys
from importlib.metadata import distribution, packages_distributions

import bill_of_materials
import dependencies
import dependency_page
import pytest
from cyclonedx.schema import SchemaVersion
from cyclonedx.validation.json import JsonStrictValidator
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.command_line import with_site

ASKED = dependencies.asked("postgres")
LOCKED = dependencies.locked()
BUILD = [Requirement(r) for r in dependencies.project()["build-system"]["requires"]]


def named(requirements):
    return {canonicalize_name(one.name) for one in requirements}


def imported():
    """The packages that the program's own lines import."""
    outside = set(dependency_page.importers()) - sys.stdlib_module_names - {"jointmap"}
    known = packages_distributions()
    return {canonicalize_name(known[module][0]) for module in outside}


def test_what_is_imported_is_asked_for_and_what_is_asked_for_is_used():
    assert named(ASKED) == imported() | set(dependency_page.BY_NAME_ALONE)


def test_what_comes_with_others_is_told_as_such():
    bill = json.loads(bill_of_materials.text())
    assert set(dependency_page.CARRIED) <= {c["name"] for c in bill["components"]}
    assert not set(dependency_page.CARRIED) & named(ASKED)


@pytest.mark.parametrize("one", ASKED, ids=str)
def test_each_bound_is_one_version_that_can_be_tried(one):
    assert dependencies.lowest(one) in one.specifier


@pytest.mark.parametrize(
    "one", [*dependencies.asked("postgres", "dev"), *BUILD], ids=str
)
def test_the_lock_is_what_is_asked_for(one):
    name = canonicalize_name(one.name)
    if name != "jointmap":
        assert one.specifier.contains(LOCKED[name].version), "run .ci/lock"


def test_every_file_of_the_lock_has_its_hash_and_none_an_address():
    assert [one.name for one in LOCKED.values() if not one.hashes] == []
    text = dependencies.LOCK.read_text(encoding="utf-8")
    assert len(re.findall(r"^[^\s#]", text, re.M)) == len(LOCKED)
    assert "://" not in text


def test_the_bill_of_materials_is_sound_and_that_of_the_lock():
    text = bill_of_materials.FILE.read_text(encoding="utf-8")
    assert JsonStrictValidator(SchemaVersion.V1_6).validate_str(text) is None
    bill = json.loads(text)
    outside = [c for c in bill["components"] if "purl" in c]
    assert {c["name"] for c in outside} >= named(ASKED)
    assert [c["version"] for c in outside] == [
        LOCKED[c["name"]].version for c in outside
    ]
    refs = {c["bom-ref"] for c in bill["components"]}
    assert {o for d in bill["dependencies"] for o in d["dependsOn"]} <= refs


def test_the_bill_of_materials_is_made_from_what_is_installed():
    bill = json.loads(bill_of_materials.FILE.read_text(encoding="utf-8"))
    here = {
        c["name"]: distribution(c["name"]).version == c["version"]
        for c in bill["components"]
        if "purl" in c
    }
    # Other versions than the lock's may ask for others: then only the list is known.
    found = json.loads(bill_of_materials.text())
    same = found == bill
    assert same or not all(here.values()), "run .ci/lock"


WATCHED = """
import json, sys

def watch(event, arguments):
    if event in ("socket.connect", "socket.getaddrinfo", "socket.sendto"):
        raise RuntimeError(f"something asks for the network: {arguments}")

sys.addaudithook(watch)
from jointmap.cli import main
try:
    main(json.loads(sys.argv[1]))
finally:
    print(json.dumps(sorted({name.partition(".")[0] for name in sys.modules})))
"""


def watched(root, script, *words):
    """Run a command that may not ask for the network; return the modules it read."""
    done = subprocess.run(
        [sys.executable, "-c", script, json.dumps([str(word) for word in words])],
        check=False,
        capture_output=True,
        cwd=root,
        encoding="utf-8",
    )
    return done, done.stdout.splitlines()[-1]


def test_the_watch_sees_who_asks_for_the_network(root):
    asks = "import socket; socket.create_connection(('localhost', 9))"
    script = WATCHED.replace("from jointmap.cli import main", asks)
    done = subprocess.run(
        [sys.executable, "-c", script, "[]"], check=False, capture_output=True, cwd=root
    )
    assert b"something asks for the network" in done.stderr


@pytest.mark.parametrize("words", [("due",), ("why", "IJ-018"), ("rules", "list")])
def test_what_only_reads_carries_none_of_the_map_s_packages(root, demo, words):
    asked = with_site(words, demo / "site")
    done, modules = watched(root, WATCHED, *asked)
    assert done.returncode in (0, 1), done.stderr
    assert not {"folium", "requests", "urllib3", "xyzservices"} & set(
        json.loads(modules)
    )


def test_the_demo_asks_for_nothing(root, tmp_path):
    done, modules = watched(root, WATCHED, "demo", tmp_path / "out")
    assert done.returncode == 0, done.stderr
    assert {"folium", "jointmap"} <= set(json.loads(modules))
