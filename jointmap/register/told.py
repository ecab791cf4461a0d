"""A sentence before it is made: its id and its values, so that reasons stay data."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Told:
    """The id of a sentence of ``wording`` and its values.

    A value may itself be told, or a tuple of names and of what is told, which is
    written as a list.
    """

    id: str
    values: Mapping[str, object] = field(default_factory=dict, hash=False)
