"""Calculations at a desk: one visible dictionary, units and formula shown."""

import math
from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from jointmap.desk.calculation import Calculation, Input
from jointmap.desk.fitting import FITTING
from jointmap.desk.fluid import FLUID
from jointmap.desk.joint import JOINT
from jointmap.desk.pipe import PIPE
from jointmap.desk.potential import POTENTIAL
from jointmap.desk.small import SMALL
from jointmap.errors import JointmapError, Problem, Refused, WrongUse
from jointmap.tables import SOURCES
from jointmap.units import accepted, read_quantity
from jointmap.wording import say
from jointmap.wording.quantities import show

CALCULATIONS: dict[str, Calculation] = {
    **PIPE,
    **JOINT,
    **FLUID,
    **POTENTIAL,
    **SMALL,
    **FITTING,
}
# No input of any formula is meant smaller or larger than this (SI), nought apart; their
# products stay far from where a number has no digits left (our choice).
LEAST_SIZE, MOST_SIZE = 1e-30, 1e30


def calculate_text(name: str | None, given: Sequence[str]) -> str:
    """Return the list of calculations, what one needs, or its worked result.

    Parameters
    ----------
    name
        One of ``CALCULATIONS``; none lists them.
    given
        ``input=number unit`` for each input; none at all shows what is needed.

    Raises
    ------
    WrongUse
        An unknown name.
    Refused
        All faults of the inputs at once.
    """
    if name is None:
        return "".join(f"{n:22} {c.title}\n" for n, c in CALCULATIONS.items())
    if name not in CALCULATIONS:
        facts = {"name": name, "accepted": ", ".join(CALCULATIONS)}
        raise WrongUse(Problem("calculate.unknown", facts))
    chosen = CALCULATIONS[name]
    lines = _worked(chosen, _pairs(given)) if given else _needed(name, chosen)
    return "".join(f"{line}\n" for line in (*_head(name, chosen), *lines))


def values_of(chosen: Calculation, given: Mapping[str, str]) -> dict[str, float | str]:
    """Return every input in SI, or refuse all faults at once."""
    names = [i.name for i in chosen.inputs]
    facts = {"accepted": ", ".join(names)}
    faults = [
        Problem("calculate.not_asked", {"name": name, **facts}, column=name)
        for name in given
        if name not in names
    ]
    values: dict[str, float | str] = {}
    for asked in chosen.inputs:
        try:
            values[asked.name] = _value(asked, given.get(asked.name, asked.usual))
        except JointmapError as error:
            faults += error.problems
    if faults:
        raise Refused(faults)
    return values


def _pairs(given: Sequence[str]) -> dict[str, str]:
    odd = [text for text in given if "=" not in text]
    faults = [Problem("calculate.no_value", {"text": t}) for t in odd]
    pairs = [text.split("=", 1) for text in given if "=" in text]
    names = [name.strip() for name, _ in pairs]
    twice = sorted({name for name in names if names.count(name) > 1})
    faults += [Problem("calculate.twice", {"name": n}, column=n) for n in twice]
    if faults:
        raise Refused(faults)
    return {name: text.strip() for name, (_, text) in zip(names, pairs, strict=True)}


def _value(asked: Input, text: str) -> float | str:
    facts = {"name": asked.name, "accepted": _accepts(asked)}
    if not text:
        raise Refused(Problem("calculate.missing", facts, column=asked.name))
    if asked.words:
        if text not in asked.words:
            told = {**facts, "value": text}
            raise Refused(Problem("calculate.word", told, "", 0, asked.name, text))
        return text
    found = read_quantity(text, asked.quantity)
    if found.bound:
        told = {**facts, "value": text}
        raise Refused(Problem("calculate.bound", told, "", 0, asked.name, text))
    if found.value and not LEAST_SIZE <= abs(found.value) <= MOST_SIZE:
        sizes = {"name": asked.name, "least": LEAST_SIZE, "most": MOST_SIZE}
        raise Refused(Problem("calculate.size", sizes, "", 0, asked.name, text))
    return found.value


def _accepts(asked: Input) -> str:
    if asked.words:
        return ", ".join(asked.words)
    units = [unit or say("calculate.plain") for unit in accepted(asked.quantity)]
    return say("calculate.with_unit", {"units": ", ".join(units)})


def _head(name: str, chosen: Calculation) -> Iterator[str]:
    yield f"{name}: {chosen.title}"
    yield f"  {chosen.formula}"


def _needed(name: str, chosen: Calculation) -> Iterator[str]:
    for asked in chosen.inputs:
        usual = f" (usual: {asked.usual})" if asked.usual else ""
        yield f"  {asked.name:22} {_accepts(asked)}{usual}"
    inputs = " ".join(f'{i.name}="..."' for i in chosen.inputs if not i.usual)
    yield "  " + say("calculate.write", {"name": name, "inputs": inputs})
    yield from _foot(chosen)


def _worked(chosen: Calculation, given: Mapping[str, str]) -> Iterator[str]:
    results = _results(chosen, values_of(chosen, given))
    for asked in chosen.inputs:
        usual = "" if asked.name in given else " (usual)"
        yield f"  {asked.name:22} {given.get(asked.name, asked.usual)}{usual}"
    for name, unit in chosen.results.items():
        yield f"= {name:22} {show(results[name], unit)}"
    yield from _foot(chosen)


def _results(
    chosen: Calculation, values: Mapping[str, float | str]
) -> Mapping[str, float]:
    """Return what the formula gives; no number at all means that one is not known."""
    try:
        with np.errstate(divide="raise", over="raise", invalid="raise"):
            found = chosen.work(**values)
    except ArithmeticError:
        found = {"": math.inf}
    if any(map(math.isinf, found.values())):
        raise Refused(Problem("calculate.no_result"))
    return found


def _foot(chosen: Calculation) -> Iterator[str]:
    yield from (f"  {sentence}" for sentence in chosen.says)
    yield f"  Source: {citation(chosen)}."


def citation(chosen: Calculation) -> str:
    """Return a calculation's source in words, with its mark."""
    parts = (SOURCES[chosen.source].title, chosen.clause)
    return f"{', '.join(p for p in parts if p)} ({chosen.mark})"
