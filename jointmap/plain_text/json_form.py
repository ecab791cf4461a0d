"""JSON that loses nothing: characters that cannot be seen stand as escapes."""

import json
import re
from collections.abc import Callable

from jointmap.plain_text.visible import visible_lines


def json_text(
    value: object,
    indent: int | None = None,
    default: Callable[[object], object] | None = None,
) -> str:
    r"""Return ``value`` as JSON; read back it is the same, to the last character.

    >>> json_text({"tag": "a\u202eb"})
    '{"tag":"a\\u202eb"}'
    """
    marks = (",", ":") if indent is None else (",", ": ")
    text = json.dumps(
        value,
        ensure_ascii=False,
        allow_nan=False,
        indent=indent,
        separators=marks,
        default=default,
    )
    return visible_lines(text, _escape)


def script_json(value: object) -> str:
    """Return JSON that may stand inside a script element: nothing there can end it."""
    return json_text(value).replace("<", "\\u003c")


def _escape(found: re.Match[str]) -> str:
    return json.dumps(found[0])[1:-1]
