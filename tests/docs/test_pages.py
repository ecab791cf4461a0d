"""The pages say what is there: links, listings, commands, reference, names."""

import importlib.util
import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PAGES = sorted([*ROOT.glob("*.md"), *ROOT.glob("docs/**/*.md")])


def named(path):
    return path.relative_to(ROOT).as_posix()


def tracked():
    listing = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=True, text=True
    )
    return [name for name in listing.stdout.split("\0") if (ROOT / name).is_file()]


def generator():
    path = ROOT / ".ci" / "reference_pages.py"
    spec = importlib.util.spec_from_file_location("reference_pages", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


REFERENCE = generator()


def test_readme_lists_the_top_level():
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    table = text.split("## What is here")[1].split("##")[0]
    listed = {name.rstrip("/") for name in re.findall(r"^\| `([^`]+)`", table, re.M)}
    assert listed == {name.split("/")[0] for name in tracked()}


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_links_resolve(page):
    text = page.read_text(encoding="utf-8")
    links = re.findall(r"\]\(([^)\s]+)\)", text)
    relative = [x.split("#")[0] for x in links if not x.startswith(("http", "#"))]
    gone = [x for x in relative if not (page.parent / x).exists()]
    assert gone == []


def test_every_page_is_linked_from_another():
    targets = {
        (page.parent / link.split("#")[0]).resolve()
        for page in PAGES
        for link in re.findall(r"\]\(([^)\s]+\.md[^)\s]*)\)", page.read_text("utf-8"))
    }
    alone = [named(p) for p in PAGES if p not in targets and p.name != "README.md"]
    assert alone == []


@pytest.mark.parametrize("name", REFERENCE.PAGES)
def test_reference_page_is_current(name):
    path = ROOT / "docs" / "reference" / name
    found = path.read_text(encoding="utf-8") if path.exists() else ""
    assert found == REFERENCE.PAGES[name](), "run .ci/docs and read the difference"


def test_reference_holds_nothing_else():
    found = {p.name for p in (ROOT / "docs" / "reference").iterdir()}
    assert found == set(REFERENCE.PAGES)


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_commands_named_on_a_page_exist(page):
    text = page.read_text(encoding="utf-8")
    code = re.findall(r"```.*?```|`[^`\n]+`", text, re.S)
    call = r"(?:^|[`\s/])jointmap ([a-z][a-z-]+)(?: ([a-z]+))?"
    called = re.findall(call, "\n".join(code), re.M)
    known = set(REFERENCE.commands())
    groups = {name.split()[0] for name in known if " " in name}
    for first, second in called:
        name = f"{first} {second}" if first in groups and second else first
        assert name in known | groups, name


@pytest.mark.parametrize("mark", ["main job", "tests"])
def test_readme_marks_the_commands_that_ci_runs(mark):
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    found = re.findall(rf"^<!-- {mark} -->\n```\n(.+?)\n```$", text, re.M | re.S)
    assert len(found) == 1
    assert f'readme "{mark}"' in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


def test_every_decision_is_listed():
    folder = ROOT / "docs" / "decisions"
    index = (folder / "README.md").read_text(encoding="utf-8")
    pages = {p.name for p in folder.glob("*.md")} - {"README.md"}
    assert set(re.findall(r"\]\(([^)]+)\)", index)) == pages


@pytest.mark.parametrize("page", sorted(ROOT.glob("docs/decisions/[0-9]*")), ids=named)
def test_a_decision_says_context_choice_and_cost(page):
    parts = re.findall(r"^\*\*(\w+)\.\*\*", page.read_text(encoding="utf-8"), re.M)
    assert parts == ["Context", "Choice", "Cost"]


# No folder of one machine, no package archive: they mean nothing to a reader.
_OF_ONE_MACHINE = re.compile(
    r"(?<![\w.])/(?:home|root|work|farm|Users)/"
    r"|py(?:pi)\.org|python(?:hosted)|npm(?:js)|deb\.(?:debian)"
)
_TEXT = {".py", ".md", ".csv", ".toml", ".html", ".geojson", ".svg", ".txt", ".sh", ""}


def test_no_file_names_a_machine_or_an_archive():
    found = []
    for name in tracked():
        if Path(name).suffix not in _TEXT:
            continue
        text = (ROOT / name).read_text(encoding="utf-8")
        found += [f"{name}: {m}" for m in _OF_ONE_MACHINE.findall(text)]
    assert found == []
