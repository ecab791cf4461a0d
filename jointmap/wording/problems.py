"""A problem as one line: where it stands, what was found, what would be accepted."""

from collections import Counter
from collections.abc import Iterable, Iterator

from jointmap.errors import Problem
from jointmap.incoming.size_limits import (
    ACCEPTED_LETTERS,
    ALIKE,
    MESSAGE_LETTERS,
    TOLD,
    VALUE_LETTERS,
)
from jointmap.plain_text import visible
from jointmap.wording import say


def line_of(problem: Problem) -> str:
    """Return file, line, column and value, as far as given, and the sentence."""
    places = [
        problem.file,
        f"line {problem.line}" if problem.line else "",
        f"column {_cut(problem.column, VALUE_LETTERS.most)}" if problem.column else "",
        f"value '{_cut(problem.value, VALUE_LETTERS.most)}'" if problem.value else "",
    ]
    where = visible(", ".join(p for p in places if p))
    values = {
        n: _list_cut(v) if isinstance(v, str) else v for n, v in problem.values.items()
    }
    sentence = say(problem.id, values)
    line = f"{where}: {sentence}" if where else sentence
    return _cut(line, MESSAGE_LETTERS.most)


def lines_of(problems: Iterable[Problem]) -> Iterator[str]:
    """Yield a line a problem; of many alike the first ones, and how many more.

    Alike are problems of one kind in one file: a table of a thousand wrong cells says
    so once, and what else is wrong in it can still be read. No line is told twice.
    """
    alike: Counter[tuple[str, str, str]] = Counter()
    told: set[str] = set()
    left_out = 0
    for problem in problems:
        kind = _kind(problem)
        alike[kind] += 1
        if alike[kind] > ALIKE.most:
            continue
        if len(told) == TOLD.most:
            left_out += 1
            continue
        line = line_of(problem)
        if line not in told:
            told.add(line)
            yield line
    for (file, id_, column), count in alike.items():
        if count > ALIKE.most:
            facts = {"count": count - ALIKE.most}
            first = Problem(ALIKE.id, facts, file, column=column)
            yield f"{line_of(first)} ({id_})"
    if left_out:
        yield say(TOLD.id, {"count": left_out})


def _kind(problem: Problem) -> tuple[str, str, str]:
    # Where each column is wrong by itself, its name is what differs.
    own = "" if problem.id.startswith("file.") else problem.column
    return problem.file, problem.id, own


def _cut(text: str, most: int) -> str:
    return text if len(text) <= most else f"{text[:most]}... ({len(text):,} letters)"


def _list_cut(text: str) -> str:
    """Return a list of words as far as a person reads it, or the start of a text."""
    if len(text) <= ACCEPTED_LETTERS.most:
        return text
    shown, comma, _ = text[: ACCEPTED_LETTERS.most].rpartition(", ")
    if not comma:
        return _cut(text, VALUE_LETTERS.most)
    return f"{shown} and {text.count(', ') - shown.count(', ')} more"
