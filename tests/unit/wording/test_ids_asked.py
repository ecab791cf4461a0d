"""Every sentence that the program asks for by its id is there."""

import ast
import re
from pathlib import Path

import pytest

import jointmap
from jointmap.wording.families import SENTENCES

PACKAGE = Path(jointmap.__file__).parent
ASKING = {"say", "_say", "say_all", "Told", "Problem", "label", "words"}
OF_A_TEMPLATE = re.compile(r"""\bt\(["']([a-z_0-9.]*[a-z0-9])["'][,)]""")


def asked(path):
    """Yield the ids that a module gives as they are."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and node.args:
            name = getattr(node.func, "id", getattr(node.func, "attr", ""))
            first = node.args[0]
            if name in ASKING and isinstance(first, ast.Constant):
                yield str(first.value)


@pytest.mark.parametrize("path", sorted(PACKAGE.rglob("*.py")), ids=lambda p: p.name)
def test_a_module_asks_for_sentences_that_are_there(path):
    named = (i for i in asked(path) if re.fullmatch(r"[a-z_0-9]+(\.[a-z_0-9]+)+", i))
    assert [id_ for id_ in named if id_ not in SENTENCES] == []


@pytest.mark.parametrize("path", sorted(PACKAGE.rglob("*.html")), ids=lambda p: p.name)
def test_a_template_asks_for_words_that_are_there(path):
    found = OF_A_TEMPLATE.findall(path.read_text(encoding="utf-8"))
    ids = (i if "." in i else f"page.{i}" for i in found)
    assert [id_ for id_ in ids if id_ not in SENTENCES] == []
