"""Every sentence and label by its stable id, English first.

Each family of ids has a file of its own; ``say`` makes the sentence from id and values.
A value may carry its unit as a format: ``{value:ohm}`` prints 3,100,000 as 3.1 Mohm.
"""

from collections.abc import Mapping
from string import Formatter
from typing import Any

from jointmap.wording.quantities import UNITS, show


class _Words(Formatter):
    """Formats units as engineers write them; a missing value shows as its name."""

    def get_value(self, key: int | str, args: Any, kwargs: Any) -> Any:  # noqa: ANN401, ARG002
        return kwargs.get(key, f"({key} not given)")

    def format_field(self, value: Any, format_spec: str) -> str:  # noqa: ANN401
        if format_spec in UNITS and isinstance(value, int | float):
            return show(float(value), format_spec)
        return str(value) if format_spec in UNITS else format(value, format_spec)


_WORDS = _Words()


def say(id: str, values: Mapping[str, object] | None = None) -> str:  # noqa: A002
    """Return the sentence of ``id`` with ``values`` in it; ``KeyError`` if unknown."""
    from jointmap.wording.families import SENTENCES

    return _WORDS.vformat(SENTENCES[id], (), dict(values or {}))
