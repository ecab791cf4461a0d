"""The program compiles its own words only; one module each writes tables and markup."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path("jointmap")
# What compiles text, by its last name, and the files that may: each gives it words of
# the package alone.
COMPILES = {
    "from_string": (),
    "Template": ("site_map/page.py",),
    "eval": (),
    "exec": (),
    "Environment": ("site_map/page.py", "reports/rendering.py"),
    "vformat": (),
    "Markup": None,  # looked at one by one below
    "safe_substitute": (),
    "substitute": (),
}
# Of installed packages only, never a folder or a text.
LOADERS = {"PackageLoader", "ChoiceLoader"}
TABLE_WRITERS = {"writer", "DictWriter", "to_csv", "to_excel", "Workbook"}


@pytest.fixture(scope="module")
def trees(root):
    files = sorted((root / PACKAGE).rglob("*.py"))
    return {
        path.relative_to(root / PACKAGE).as_posix(): ast.parse(path.read_bytes())
        for path in files
        if "sample_site" not in path.parts
    }


def calls(tree: ast.AST) -> Iterator[tuple[str, ast.Call]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else ""
            yield name or getattr(node.func, "id", ""), node


def is_constant(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


def test_text_is_compiled_in_known_places_only(trees):
    found = {(n, file) for file, tree in trees.items() for n, _ in calls(tree)}
    odd = [
        (name, file)
        for name, file in found
        if COMPILES.get(name) is not None and file not in COMPILES[name]
    ]
    assert odd == []


def test_templates_are_words_of_the_package(trees):
    for file in ("site_map/page.py", "reports/rendering.py"):
        for name, call in calls(trees[file]):
            if name == "Template":
                assert all(map(is_constant, call.args))
            assert not name.endswith("Loader") or name in LOADERS
            if name == "Environment":
                given = {k.arg: k.value for k in call.keywords}
                assert given["loader"].func.id in LOADERS
                assert given["autoescape"].value is True
                assert given["finalize"].id == "shown_value"


def test_markup_is_made_of_constants_or_by_the_one_door(trees):
    odd = [
        (file, call.lineno)
        for file, tree in trees.items()
        for name, call in calls(tree)
        if name == "Markup" and not all(map(is_constant, call.args))
    ]
    assert [file for file, _ in odd] == ["plain_text/markup.py"]


def test_a_format_is_never_a_text_of_the_register(trees):
    """``.format`` is asked of constants and of the package's sentences only."""
    allowed = {"Markup", "SENTENCES", "_SETTINGS", "glyph"}
    odd = []
    for file, tree in trees.items():
        for name, call in calls(tree):
            if name != "format" or isinstance(call.func, ast.Name):
                continue
            whose = call.func.value
            names = {n.id for n in ast.walk(whose) if isinstance(n, ast.Name)}
            if not (is_constant(whose) or names & allowed):
                odd.append((file, call.lineno))
    assert odd == []


def imports(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        if isinstance(node, ast.ImportFrom):
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def test_one_module_each_writes_tables_and_escapes(trees):
    writers = {f for f, t in trees.items() for n, _ in calls(t) if n in TABLE_WRITERS}
    assert writers == {"plain_text/tables.py"}
    escapers = {
        file
        for file, tree in trees.items()
        for name in imports(tree)
        if name in {"html", "html.escape", "markupsafe.escape", "xml.sax.saxutils"}
    }
    assert escapers == {"plain_text/markup.py"}


def test_typst_templates_read_no_text_as_markup(root):
    for path in (root / "jointmap" / "reports" / "templates").glob("*.typ"):
        text = path.read_text("utf-8")
        assert "eval(" not in text
        assert "#import" not in text
        assert "mode:" not in text


def test_templates_switch_nothing_off(root):
    """No filter that lets text through, no style or act in an attribute."""
    odd = re.compile(r"\|\s*safe|autoescape|<script [^>]*src|\s(style|on[a-z]+)\s*=")
    pages = sorted((root / PACKAGE).rglob("*.html"))
    assert len(pages) > 10
    found = {p.name: odd.findall(p.read_text("utf-8")) for p in pages}
    assert {name: what for name, what in found.items() if what} == {}
