"""Every sentence and label by its stable id, English first.

Each family of ids has a file of its own; ``say`` makes the sentence from id and values.
A value may carry its unit as a format: ``{value:ohm}`` prints 3,100,000 as 3.1 Mohm.
"""

from collections.abc import Callable, Mapping, Sequence
from string import Formatter
from typing import Any

from jointmap.plain_text import visible
from jointmap.register.told import Told
from jointmap.wording.quantities import UNITS, show


class _Words(Formatter):
    """Formats units as engineers write them; a missing value shows as its name.

    A value stays on its line: what cannot be seen in it, a line's end too, is a code.
    """

    def get_value(self, key: int | str, args: Any, kwargs: Any) -> Any:  # noqa: ANN401, ARG002
        return kwargs.get(key, f"({key} not given)")

    def format_field(self, value: Any, format_spec: str) -> str:  # noqa: ANN401
        if isinstance(value, Told):
            return say_told(value)
        if isinstance(value, tuple):
            return ", ".join(self.format_field(each, format_spec) for each in value)
        if format_spec in UNITS and isinstance(value, int | float):
            return show(float(value), format_spec)
        own = str(value) if format_spec in UNITS else format(value, format_spec)
        return visible(own)


_WORDS = _Words()


def say(id: str, values: Mapping[str, object] | None = None) -> str:  # noqa: A002
    """Return the sentence of ``id`` with ``values`` in it; ``KeyError`` if unknown."""
    from jointmap.wording.families import SENTENCES

    return _WORDS.vformat(SENTENCES[id], (), dict(values or {}))


def say_told(told: Told | None) -> str:
    """Return the sentence of what is told; blank for nothing."""
    return "" if told is None else say(told.id, told.values)


def say_all(
    id: str,  # noqa: A002
    rows: int,
    column: Callable[[str], Sequence[object] | None],
) -> list[str]:
    """Return the sentence of ``id`` once for each row, as ``say`` does for one.

    ``column`` gives the values of a name, one a row; None where there is none.
    """
    from jointmap.wording.families import SENTENCES

    pieces, columns = [], []
    for literal, name, spec, _ in _WORDS.parse(SENTENCES[id]):
        pieces.append(literal.replace("{", "{{").replace("}", "}}"))
        if name is not None:
            pieces.append("{}")
            values = column(name)
            if values is None:
                values = [_WORDS.get_value(name, (), {})] * rows
            columns.append(_texts(values, spec or ""))
    make = "".join(pieces).format
    if not columns:
        return [make()] * rows
    return [make(*texts) for texts in zip(*columns, strict=True)]


def _texts(values: Sequence[object], spec: str) -> list[str]:
    # Days, words and whole numbers come again and again.
    made = {value: _WORDS.format_field(value, spec) for value in set(values)}
    return [made[value] for value in values]
