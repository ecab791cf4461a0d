"""What one calculation is made of: its formula, inputs, results and source."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypedDict

# Values an input may hold: SI floats, and words where it is a choice.
Worked = Callable[..., Mapping[str, float]]


class Cited(TypedDict):
    """Where a formula comes from: the id of a source, and its mark."""

    source: str
    mark: str


DERIVED: Cited = {"source": "derived", "mark": "owner's choice"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One thing to give; with ``words`` a choice, with ``usual`` it may be left out."""

    name: str
    quantity: str = ""
    usual: str = ""
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Calculation:
    """One formula at a desk; ``results`` names each result and how it is shown."""

    title: str
    formula: str
    inputs: Sequence[Input]
    results: Mapping[str, str]
    work: Worked
    says: tuple[str, ...] = ()
    source: str  # id of a source
    clause: str = ""
    mark: str


def length(name: str, usual: str = "") -> Input:
    """Return an input that is a length."""
    return Input(name=name, quantity="length", usual=usual)


def volt(name: str, usual: str = "") -> Input:
    """Return an input that is a potential or a voltage."""
    return Input(name=name, quantity="voltage", usual=usual)


def ampere(name: str, usual: str = "") -> Input:
    """Return an input that is a current."""
    return Input(name=name, quantity="current", usual=usual)


def ohm(name: str, usual: str = "") -> Input:
    """Return an input that is a resistance."""
    return Input(name=name, quantity="resistance", usual=usual)


def resistivity(usual: str = "") -> Input:
    """Return the input "resistivity"."""
    return Input(name="resistivity", quantity="resistivity", usual=usual)


def share(name: str, usual: str = "") -> Input:
    """Return an input that is a ratio or a percentage."""
    return Input(name=name, quantity="ratio", usual=usual)


def only(name: str, work: Callable[..., float]) -> Worked:
    """Return ``work``, whose one result is called ``name``."""

    def worked(**given: Any) -> Mapping[str, float]:  # noqa: ANN401
        return {name: work(**given)}

    return worked
