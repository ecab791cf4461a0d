"""No pattern that sees what others wrote can run away: time goes with the length."""

import ast
import importlib
import re
import time
from pathlib import Path

import pytest

import jointmap
from jointmap.incoming.size_limits import CELL
from jointmap.tables.telling_words import TELLING_WORDS
from jointmap.units import MOST_LETTERS

ROOT = Path(jointmap.__file__).parent
WAYS = ("search", "match", "fullmatch", "sub", "split", "findall", "finditer")
# What a pattern may stumble over: what it names, and of each class a letter.
LETTERS = ' 0a.,-/"<x'
STARTS = ("", "1", "M1", "1/", "zone", "+1,")
# Seconds of CPU for five times the longest text that can come: with the square of the
# length it takes more.
MOST, TIMES = 0.2, 5


def sources():
    for path in sorted(ROOT.rglob("*.py")):
        name = ".".join(path.relative_to(ROOT.parent).with_suffix("").parts)
        yield name.removesuffix(".__init__"), path.read_text(encoding="utf-8")


def calls(tree):
    for node in ast.walk(tree):
        is_call = isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute)
        if is_call and isinstance(node.func.value, ast.Name):
            yield node


def found_in(name, text):
    """Yield (pattern, way) of every use in a module."""
    module = None
    for call in calls(ast.parse(text)):
        owner, way = call.func.value.id, call.func.attr
        if way not in WAYS:
            continue
        if owner == "re" and isinstance(call.args[0], ast.Constant):
            yield re.compile(call.args[0].value), way
        elif owner.isupper():
            module = module or importlib.import_module(name)
            if isinstance(getattr(module, owner, None), re.Pattern):
                yield getattr(module, owner), way


def all_patterns():
    for name, text in sources():
        if "migrations" in name or "import re\n" not in text:
            continue
        most = MOST_LETTERS if name == "jointmap.units" else CELL.most
        for pattern, way in found_in(name, text):
            yield pytest.param(pattern, way, most, id=f"{name}-{way}-{pattern.pattern}")
    for about, rows in TELLING_WORDS.items():
        for row in rows:
            if row.word.isalpha():
                continue
            word = re.compile(rf"{row.word}\b(?!-free)", re.IGNORECASE)
            yield pytest.param(word, "search", CELL.most, id=f"{about}-{row.word}")


def use(pattern, way, text):
    other = {"sub": lambda: pattern.sub(text[:0], text)}
    result = other.get(way, lambda: getattr(pattern, way)(text))()
    return list(result) if way == "finditer" else result


def texts(most):
    pairs = [a + b for a in LETTERS for b in LETTERS if a <= b]
    for start in STARTS:
        for pair in pairs:
            pump = pair[:1] if pair[0] == pair[1] else pair
            yield start + pump * ((most - len(start) - 1) // len(pump)) + "\x01"


def runs_away(pattern, way, most):
    """Return a text, short ones first, that takes too long, or nothing."""
    for length in (24, 1000, TIMES * most):
        for text in texts(length):
            made = text if isinstance(pattern.pattern, str) else text.encode()
            before = time.process_time()
            use(pattern, way, made)
            if time.process_time() - before > MOST:
                return text[:40]
    return ""


PATTERNS = list(all_patterns())


@pytest.mark.parametrize(("pattern", "way", "most"), PATTERNS)
def test_time_goes_with_the_length(pattern, way, most):
    assert runs_away(pattern, way, most) == ""


@pytest.mark.parametrize(
    "bad", [r"(a+)+b", r"(?:0|0a?)*b", r"\s*-\s*", r"x?[0-9]*\.?[0-9]+e"]
)
def test_the_trial_finds_what_runs_away(bad):
    assert runs_away(re.compile(bad), "search", CELL.most) != ""


def test_every_module_with_patterns_is_seen():
    named = {p.id.split("-")[0] for p in PATTERNS}
    assert {
        "jointmap.exchange.cells",
        "jointmap.units",
        "jointmap.assembly.texts",
    } <= named
