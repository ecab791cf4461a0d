"""TOML to plain values: the settings and facts of a site, which are short and flat."""

import re
import tomllib
from typing import Any

from jointmap.errors import Problem, Refused
from jointmap.incoming.nesting import check_depth
from jointmap.incoming.size_limits import DEPTH, DIGITS, DOTS, SETTINGS_BYTES, beyond

# What stands in quotes on one line; each character matches in one way only.
_QUOTED = re.compile(r""""[^"\n]*"?|'[^'\n]*'?""")
_DIGIT_RUN = re.compile(rf"[0-9][0-9_]{{{DIGITS.most}}}")

_PLACE = re.compile(r"line [0-9]+, column [0-9]+|end of document")


def read_toml(name: str, text: str, fault: str) -> dict[str, Any]:
    """Return what ``text`` says; raises ``Refused``, ``fault`` where it is no TOML.

    Names with dots make tables in tables; the parser's time and memory grow with the
    square of their number, so they are counted first.
    """
    if len(text) > SETTINGS_BYTES.most:
        raise beyond(SETTINGS_BYTES, len(text), name)
    check_depth(name, text)
    _check_lines(name, text)
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise beyond(DEPTH, DEPTH.most + 1, name) from None
    except ValueError as error:
        # What else the parser says is for those who write programs.
        found = _PLACE.search(str(error))
        place = found.group() if found else "no TOML"
        raise Refused(Problem(fault, {"error": place}, name)) from None


def _check_lines(name: str, text: str) -> None:
    for number, line in enumerate(text.split("\n"), start=1):
        bare = _QUOTED.sub("", line).partition("#")[0]
        dots = bare.count(".")
        if dots > DOTS.most:
            raise beyond(DOTS, dots, name, number)
        if found := _DIGIT_RUN.search(bare):
            value = found.group()
            raise beyond(DIGITS, len(bare.strip()), name, number, value=value)
