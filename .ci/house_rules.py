"""Rules of the house that no linter knows; each names what breaks it, and where.

``python .ci/house_rules.py`` checks the program. What breaks a rule still is named in
house_exceptions.toml, with how often: the lists only ever get shorter, so a name that
is needed no more, or less often, is refused as well.
"""

import ast
import re
import sys
import tomllib
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = "jointmap"
EXCEPTIONS = ".ci/house_exceptions.toml"

MOST_FILES = 25
MOST_LINES = 3000

# No file, clock, network, database, process, thread or chance comes near these.
PURE = (
    "register", "assembly", "acceptance", "sections", "location", "intervals",
    "hazard", "desk", "due_list", "routes", "assessment", "findings",
)  # fmt: skip
# What starts the program is no layer.
NO_LAYER = ["__main__", "version"]

# Who asks storage for records; a site folder asks for its first entry, the jobs of
# `soundness` compare records with the chain.
ASKING = ("snapshot", "changes", "storage", "sites", "workflows/soundness")
ASKED = {
    "records", "records_with", "ids_with", "values_of", "filled", "revisions",
    "corrected", "first_entries", "written_last",
}  # fmt: skip
ASKED_AS_COLUMNS = {"read_arrays", "read_parts"}
# How one comes to a state of the register that can be asked.
STORED = "stored"

# Where texts stand: sentences, help of commands, titles at a desk, names of units.
TEXTS = ("wording", "cli", "desk", "units")
# Lists of stored words.
WORD_LISTS = ("StrEnum", "CodedWord")
TWO_WORDS = re.compile(r"\b[a-z]{2,}[,;:]* [a-z]{2,}\b")
MARKUP = re.compile(r"<[a-z]")

ROWS = {
    "DEVELOPERS.md": "| you want to change | `jointmap/{}/` |",
    "docs/explanation/architecture.md": "| `{}` | what it does |",
}


class Broken(NamedTuple):
    """A rule that is broken somewhere: the file, the line, what, and what would do."""

    file: str
    line: int
    what: str
    accepted: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.what}; accepted: {self.accepted}"


def layers(root: Path) -> Iterator[Broken]:
    """Every package has its layer, and every pure one stands in the purity contract."""
    text = (root / "pyproject.toml").read_text(encoding="utf-8")
    contracts = tomllib.loads(text)["tool"]["importlinter"]["contracts"]
    for one in contracts:
        if one["type"] == "layers":
            line = line_of(text, one["name"])
            if not one.get("exhaustive"):
                what = "a package without a layer would pass"
                yield Broken("pyproject.toml", line, what, "exhaustive = true")
            if one.get("exhaustive_ignores", NO_LAYER) != NO_LAYER:
                what = "packages are left out of the layers"
                yield Broken("pyproject.toml", line, what, str(NO_LAYER))
    pure = next((c for c in contracts if c["name"].startswith("The core is pure")), {})
    for name in PURE:
        if f"{PACKAGE}.{name}" not in pure.get("source_modules", ()):
            line = line_of(text, pure.get("name", "importlinter"))
            what = f"{name} is not among the pure packages"
            accepted = f'"{PACKAGE}.{name}" in source_modules'
            yield Broken("pyproject.toml", line, what, accepted)


def folder_sizes(root: Path) -> Iterator[Broken]:
    """No folder holds more files or lines than a reader can oversee."""
    for folder in sorted({path.parent for path in modules(root)}):
        files = sorted(folder.glob("*.py"))
        lines = sum(len(lines_of(path)) for path in files)
        name = folder.relative_to(root).as_posix()
        if len(files) > MOST_FILES:
            most = f"at most {MOST_FILES}; move a subject into a folder of its own"
            yield Broken(name, 0, f"{len(files)} files", most)
        if lines > MOST_LINES:
            most = f"at most {MOST_LINES}; move a subject into a folder of its own"
            yield Broken(name, 0, f"{lines} lines", most)


def file_names(root: Path) -> Iterator[Broken]:
    """Two packages share a file name only where both hold the same subject."""
    named = exceptions(root)["same_subject"]
    places: dict[str, list[str]] = {}
    for path in modules(root):
        if path.name != "__init__.py":
            places.setdefault(path.stem, []).append(path.relative_to(root).as_posix())
    for name, files in places.items():
        if len(files) > 1 and name not in named:
            what = f"{name}.py stands in {' and '.join(files)}"
            accepted = f"another name, or the subject of both in {EXCEPTIONS}"
            yield Broken(files[1], 1, what, accepted)
    for name in named:
        if len(places.get(name, ())) <= 1:
            yield needless(root, name)


def askers(root: Path) -> Iterator[Broken]:
    """Only snapshot, changes and the jobs of soundness ask storage for records."""
    for file, tree in outside(root, ASKING):
        for line, name in questions(tree):
            yield Broken(file, line, f"{name} asks storage for records", "a Snapshot")


def texts(root: Path) -> Iterator[Broken]:
    """Texts that a user reads stand in wording; elsewhere stand ids, stored words."""
    stored = stored_words(root)
    unread = exceptions(root)["read_by_nobody"]
    found = [
        Broken(file, line, f"the text {text!r}", "an id, its sentence in wording")
        for file, tree in outside(root, TEXTS)
        for line, text in strings(tree)
        if text not in stored and TWO_WORDS.search(text) and not MARKUP.search(text)
    ]
    yield from beyond(root, "texts", [b for b in found if b.file not in unread])
    for name in unread:
        if name not in {b.file for b in found}:
            yield needless(root, name)


def package_rows(root: Path) -> Iterator[Broken]:
    """Every package has its row where a newcomer looks for it."""
    names = [p.parent.name for p in sorted((root / PACKAGE).glob("*/__init__.py"))]
    for file, row in ROWS.items():
        text = (root / file).read_text(encoding="utf-8")
        rows = [line for line in text.splitlines() if line.startswith("|")]
        for name in names:
            marks = (f"`{name}`", f"`{PACKAGE}/{name}/`")
            if not any(mark in line for line in rows for mark in marks):
                yield Broken(file, 1, f"no row for {name}", row.format(name))


RULES: tuple[Callable[[Path], Iterator[Broken]], ...] = (
    layers, folder_sizes, file_names, askers, texts, package_rows,
)  # fmt: skip


def beyond(root: Path, rule: str, found: Iterable[Broken]) -> Iterator[Broken]:
    """Yield what breaks a rule in files that are not named for so many places."""
    named: dict[str, int] = exceptions(root)[rule]
    by_file: dict[str, list[Broken]] = {}
    for one in found:
        by_file.setdefault(one.file, []).append(one)
    for file, all_of_it in by_file.items():
        if len(all_of_it) > named.get(file, 0):
            yield from all_of_it
    counts = Counter({file: len(each) for file, each in by_file.items()})
    for file, count in named.items():
        if not counts[file]:
            yield needless(root, file)
        elif counts[file] < count:
            line = line_in_exceptions(root, file)
            what = f"{file} breaks the rule {counts[file]} times, not {count}"
            yield Broken(EXCEPTIONS, line, what, f"{counts[file]}")


def needless(root: Path, name: str) -> Broken:
    """Return the refusal of an exception that is needed no more."""
    what = f"{name} needs no exception any more"
    return Broken(EXCEPTIONS, line_in_exceptions(root, name), what, "no line for it")


@cache
def exceptions(root: Path) -> dict[str, Any]:
    """Return the named exceptions by rule."""
    return tomllib.loads((root / EXCEPTIONS).read_text(encoding="utf-8"))


def line_in_exceptions(root: Path, name: str) -> int:
    """Return the line of an exception."""
    return line_of((root / EXCEPTIONS).read_text(encoding="utf-8"), name)


def line_of(text: str, part: str) -> int:
    """Return the first line that holds a part; 1 where none does."""
    lines = text.splitlines()
    return next((n for n, line in enumerate(lines, 1) if part in line), 1)


def modules(root: Path) -> list[Path]:
    """Return every module of the program."""
    return sorted((root / PACKAGE).rglob("*.py"))


def lines_of(path: Path) -> list[str]:
    """Return the lines of a file."""
    return path.read_text(encoding="utf-8").splitlines()


@cache
def parsed(path: Path) -> ast.Module:
    """Return a module as a tree."""
    return ast.parse(path.read_text(encoding="utf-8"), str(path))


def outside(root: Path, packages: tuple[str, ...]) -> Iterator[tuple[str, ast.Module]]:
    """Yield the modules, by name, that are in none of some packages."""
    within = tuple(f"{PACKAGE}/{name}/" for name in packages)
    for path in modules(root):
        name = path.relative_to(root).as_posix()
        if not name.startswith(within):
            yield name, parsed(path)


def questions(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """Yield line and name of all that asks a state of the register, or opens one."""
    for node in ast.walk(tree):
        match node:
            case ast.Call(func=ast.Attribute(attr=name)) if name in ASKED:
                yield node.lineno, name
            case ast.Call(func=ast.Name(id=name)) if name in ASKED_AS_COLUMNS:
                yield node.lineno, name
            case ast.Attribute(attr=name) if name == STORED:
                yield node.lineno, name
            case ast.Attribute(ast.Attribute(attr="register"), "read"):
                yield node.lineno, "register.read"


def strings(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """Yield line and text of each string that is no docstring."""
    skipped = {id(s.value) for n in ast.walk(tree) for s in docstrings(n)}
    for node in ast.walk(tree):
        match node:
            case ast.Constant(value=str(text)) if id(node) not in skipped:
                yield node.lineno, text


def docstrings(node: ast.AST) -> Iterator[ast.Expr]:
    """Yield the expressions that stand alone in a body: docstrings."""
    body = getattr(node, "body", ())
    if isinstance(body, list):
        yield from (each for each in body if isinstance(each, ast.Expr))


@cache
def stored_words(root: Path) -> frozenset[str]:
    """Return the words that columns hold: of enumerations, and cells of the tables."""
    found: set[str] = set()
    for path in modules(root):
        for node in ast.walk(parsed(path)):
            if isinstance(node, ast.ClassDef) and is_of_words(node):
                found.update(text for _, text in strings(ast.Module([node], [])))
    for table in (root / PACKAGE / "tables").glob("*.csv"):
        found.update(re.split(r'[,"\n]', table.read_text(encoding="utf-8")))
    return frozenset(found)


def is_of_words(node: ast.ClassDef) -> bool:
    """Whether a class is an enumeration of words."""
    return any(isinstance(b, ast.Name) and b.id in WORD_LISTS for b in node.bases)


def main(root: Path = ROOT) -> int:
    """Print whatever breaks a rule; 1 where anything does."""
    found = [broken for rule in RULES for broken in rule(root)]
    for broken in found:
        print(broken)
    return min(len(found), 1)


if __name__ == "__main__":
    sys.exit(main())
