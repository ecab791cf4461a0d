"""Current that a section draws against what it was designed to draw."""

from collections.abc import Mapping
from dataclasses import dataclass

from jointmap.register import CurrentSource, IsolationTest, Structure
from jointmap.register.codes import Outcome
from jointmap.wording import say
from jointmap.workflows.assess import Assessment

# More than this over the design is said to be unaccounted for (owner's choice).
MOST_OVER_DESIGN = 1.2


@dataclass(frozen=True, slots=True)
class Drawn:
    """What the sources of one structure gave, by their last readings."""

    structure_id: int
    design_ampere: float
    measured_ampere: float
    readings: tuple[str, ...]
    not_read: tuple[str, ...]

    @property
    def share(self) -> float:
        """Measured over design."""
        return self.measured_ampere / self.design_ampere

    @property
    def is_over(self) -> bool:
        """Whether more is drawn than the design accounts for."""
        return self.share > MOST_OVER_DESIGN


def drawn(found: Assessment) -> dict[int, Drawn]:
    """Return the draw of each structure with a design current and a source read."""
    last = _last_outputs(found)
    sources = found.state.records(CurrentSource)
    draws = {}
    for id_, structure in found.state.records(Structure).items():
        own = {n: s for n, s in sources.items() if s.structure_id == id_}
        read = {n: last[n] for n in own if n in last}
        if structure.design_current_ampere and read:
            draws[id_] = Drawn(
                id_,
                structure.design_current_ampere,
                sum(_ampere(t) for t in read.values()),
                tuple(_reading(own[n].name, t) for n, t in read.items()),
                tuple(s.name for n, s in own.items() if n not in last),
            )
    return draws


def _ampere(test: IsolationTest) -> float:
    return test.test_current_ampere or 0.0


def _reading(name: str, test: IsolationTest) -> str:
    values = {"source": name, "value": _ampere(test), "day": test.tested_on}
    return say("current.reading", values)


def _last_outputs(found: Assessment) -> Mapping[int, IsolationTest]:
    last: dict[int, IsolationTest] = {}
    for test in found.state.records(IsolationTest).values():
        if (
            test.source_id is not None
            and test.outcome is Outcome.MEASURED
            and test.test_current_ampere is not None
            and test.tested_on <= found.on
        ):
            known = last.get(test.source_id)
            if known is None or test.tested_on >= known.tested_on:
                last[test.source_id] = test
    return last
