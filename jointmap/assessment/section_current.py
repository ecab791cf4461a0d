"""Current that a section draws against what it was designed to draw."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from jointmap.assessment.assess import Assessment
from jointmap.register import IsolationTest
from jointmap.register.codes import Outcome
from jointmap.register.told import Told
from jointmap.sections import electrical_groups
from jointmap.snapshot.feeds import feeds

# More than this over the design is said to be unaccounted for (owner's choice).
MOST_OVER_DESIGN = 1.2


@dataclass(frozen=True, slots=True)
class Drawn:
    """What the sources of one structure gave, by their last readings.

    Structures that share a source are one row: how it divides is not on record.
    """

    structure_ids: tuple[int, ...]
    design_ampere: float
    measured_ampere: float
    readings: tuple[Told, ...]
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
    """Return the draw of each structure with a design current and a source read.

    Where structures share a source, each of them needs a design current.
    """
    last, structures = last_outputs(found), found.state.structures
    sources, fed = found.state.sources, feeds(found.state)
    draws: dict[int, Drawn] = {}
    for group in _fed_together(found, fed):
        designs = [structures[s].design_current_ampere or 0.0 for s in group]
        own = {n: s.name for n, s in sources.items() if s.structure_id in group}
        if all(designs) and own.keys() & last.keys():
            draw = _draw(group, sum(designs), own, last)
            draws |= dict.fromkeys(group, draw)
    return draws


def _draw(
    group: tuple[int, ...],
    design_ampere: float,
    sources: Mapping[int, str],
    last: Mapping[int, IsolationTest],
) -> Drawn:
    read = {n: last[n] for n in sources if n in last}
    return Drawn(
        group,
        design_ampere,
        sum(_ampere(t) for t in read.values()),
        tuple(_reading(sources[n], t) for n, t in read.items()),
        tuple(name for n, name in sources.items() if n not in last),
    )


def _fed_together(
    found: Assessment, fed: Mapping[int, tuple[int, ...]]
) -> Iterator[tuple[int, ...]]:
    """Yield the structures that share sources; each structure is in one group."""
    ids = found.ground.structures.id
    links = [(own[0], other) for own in fed.values() for other in own]
    ends = np.array(links, np.int64).reshape(-1, 2)
    joined = np.ones(len(ends), np.bool_)
    labels = electrical_groups(ids, ends[:, 0], ends[:, 1], joined)
    for label in np.unique(labels).tolist():
        yield tuple(ids[labels == label].tolist())


def _ampere(test: IsolationTest) -> float:
    return test.test_current_ampere or 0.0


def _reading(name: str, test: IsolationTest) -> Told:
    values = {"source": name, "value": _ampere(test), "day": test.tested_on}
    return Told("current.reading", values)


def last_outputs(found: Assessment) -> Mapping[int, IsolationTest]:
    """Return the last reading of the output of each current source, by id."""
    last: dict[int, IsolationTest] = {}
    for test in found.state.tests.values():
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
