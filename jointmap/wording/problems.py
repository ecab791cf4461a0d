"""A problem as one line: where it stands, what was found, what would be accepted."""

from jointmap.errors import Problem
from jointmap.plain_text import visible
from jointmap.wording import say


def line_of(problem: Problem) -> str:
    """Return file, line, column and value, as far as given, and the sentence."""
    places = [
        problem.file,
        f"line {problem.line}" if problem.line else "",
        f"column {problem.column}" if problem.column else "",
        f"value '{problem.value}'" if problem.value else "",
    ]
    where = visible(", ".join(p for p in places if p))
    sentence = say(problem.id, problem.values)
    return f"{where}: {sentence}" if where else sentence
