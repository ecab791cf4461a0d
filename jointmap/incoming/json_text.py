"""JSON to plain values, where each name stands once and each number is one."""

import json
from typing import Any, NoReturn

from jointmap.errors import Problem, Refused
from jointmap.incoming.nesting import check_depth
from jointmap.incoming.size_limits import DEPTH, DIGITS, beyond


def read_json(name: str, text: str, fault: str) -> Any:  # noqa: ANN401
    """Return what ``text`` says; raises ``Refused``, ``fault`` where it is no JSON.

    A name twice in one object, ``NaN`` and ``Infinity`` are refused too: readers differ
    in what they make of them (RFC 8259, sections 4 and 6).
    """
    check_depth(name, text)
    reading = _Reading(name)
    try:
        return json.loads(
            text,
            object_pairs_hook=reading.pairs,
            parse_int=reading.whole,
            parse_float=reading.number,
            parse_constant=reading.constant,
        )
    except RecursionError:
        raise beyond(DEPTH, DEPTH.most + 1, name) from None
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        raise Refused(Problem(fault, {"error": place}, name)) from None


class _Reading:
    """What the parser asks for names and numbers of one file."""

    def __init__(self, name: str) -> None:
        self.name = name

    def pairs(self, pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        found = dict(pairs)
        if len(found) < len(pairs):
            names = [key for key, _ in pairs]
            twice = next(key for key in found if names.count(key) > 1)
            raise Refused(Problem("file.json_twice", file=self.name, column=twice))
        return found

    def whole(self, text: str) -> int:
        self._check(text)
        return int(text)

    def number(self, text: str) -> float:
        self._check(text)
        return float(text)

    def constant(self, text: str) -> NoReturn:
        raise Refused(Problem("file.json_constant", file=self.name, value=text))

    def _check(self, text: str) -> None:
        if len(text) > DIGITS.most:
            raise beyond(DIGITS, len(text), self.name, value=text[: DIGITS.most])
