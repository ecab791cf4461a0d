"""Every sentence and label by its stable id, English first.

Each family of ids has a file of its own; ``say`` makes the sentence from id and values.
A value may carry its unit as a format: ``{value:ohm}`` prints 3,100,000 as 3.1 Mohm. A
count carries what is counted, for one and for more: ``{count:joint is|joints are}``
prints ``1 joint is``; ``{count:~is|are}`` prints the word alone. How the number is
written stands before: ``{size:,;byte|bytes}``.
"""

from collections.abc import Callable, Mapping, Sequence
from functools import cache
from string import Formatter

from jointmap.plain_text import visible
from jointmap.register.told import Told
from jointmap.wording.quantities import UNITS, counted, show


def say(id: str, values: Mapping[str, object] | None = None) -> str:  # noqa: A002
    """Return the sentence of ``id`` with ``values`` in it; ``KeyError`` if unknown."""
    from jointmap.wording.families import SENTENCES

    return _filled(SENTENCES[id], values or {})


def _filled(sentence: str, values: Mapping[str, object]) -> str:
    """Return a sentence with its values; a missing one shows as its name."""
    pieces = []
    for literal, name, spec in _pieces(sentence):
        pieces.append(literal)
        if name is not None:
            value = values.get(name, _not_given(name))
            # A unit may itself be one of the values: ``{least:{unit}}``.
            pieces.append(_shown(value, _filled(spec, values) if spec else ""))
    return "".join(pieces)


@cache
def _pieces(sentence: str) -> tuple[tuple[str, str | None, str], ...]:
    parsed = Formatter().parse(sentence)
    return tuple((literal, name, spec or "") for literal, name, spec, _ in parsed)


def _not_given(name: str) -> str:
    return f"({name} not given)"


def _shown(value: object, spec: str) -> str:
    """Return a value as engineers write it, by a unit or a format.

    A value stays on its line: what cannot be seen in it, a line's end too, is a code.
    """
    if isinstance(value, Told):
        return say_told(value)
    if isinstance(value, tuple):
        return ", ".join(_shown(each, spec) for each in value)
    if "|" in spec:
        form, _, words = spec.rpartition(";")
        return counted(_shown(value, form), words)
    if spec in UNITS and isinstance(value, int | float):
        return show(float(value), spec)
    own = str(value) if spec in UNITS else format(value, spec)
    return visible(own)


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
    for literal, name, spec in _pieces(SENTENCES[id]):
        pieces.append(literal.replace("{", "{{").replace("}", "}}"))
        if name is not None:
            pieces.append("{}")
            values = column(name)
            if values is None:
                values = [_not_given(name)] * rows
            columns.append(_texts(values, spec))
    make = "".join(pieces).format
    if not columns:
        return [make()] * rows
    return [make(*texts) for texts in zip(*columns, strict=True)]


def _texts(values: Sequence[object], spec: str) -> list[str]:
    # Days, words and whole numbers come again and again.
    made = {value: _shown(value, spec) for value in set(values)}
    return [made[value] for value in values]
