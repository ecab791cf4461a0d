"""The tests of a state by what they were made on, and their readings as written."""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.register import IsolationTest
from jointmap.snapshot.snapshot import grouped

# In the order a person reads them; the label is the column's heading in the sheet.
_READINGS = (
    "reading", "a_on", "a_off", "b_on", "b_off", "test_current", "span_current", "ac_a",
    "ac_b", "ac_between",
)  # fmt: skip
_MORE = ("indication", "interrupted_side", "remark")


@dataclass(frozen=True)
class RecordedTests:
    """The tests of a state by what they were made on."""

    site: SiteOnDay
    # Of one joint and its boundary only: a single dossier needs no others.
    joint_id: int | None = None
    # And these tests, wherever they were read.
    also: tuple[int, ...] = ()

    @cached_property
    def records(self) -> Mapping[int, IsolationTest]:
        """The tests made up to the day asked about, by id."""
        state = self.site.state
        if self.joint_id is None:
            known = state.tests
        else:
            parts = (state.having_any(IsolationTest, w) for w in self._wanted)
            known = {id_: test for part in parts for id_, test in part.items()}
        rows = self.site.test_rows
        return {id_: test for id_, test in known.items() if id_ in rows}

    @cached_property
    def entries(self) -> Mapping[int, int]:
        """The entry in which each test first came in."""
        state = self.site.state
        if self.joint_id is None:
            return state.came_in(IsolationTest)
        parts = (state.came_in(IsolationTest, w) for w in self._wanted)
        return {id_: entry for part in parts for id_, entry in part.items()}

    @property
    def _wanted(self) -> list[Mapping[str, int]]:
        """What the tests of one joint have, any of it; then each of the others."""
        id_ = self.joint_id or 0
        own = {"joint_id": id_, "boundary_id": self.site.joints[id_].boundary_id}
        return [own, *({"id": other} for other in self.also)]

    @cached_property
    def of_joint(self) -> Mapping[int, list[int]]:
        """Tests that name a joint, by joint."""
        return self._by("joint_id")

    @cached_property
    def of_boundary(self) -> Mapping[int, list[int]]:
        """Tests made on a boundary as a whole, by boundary."""
        return self._by("boundary_id")

    def _by(self, place: str) -> dict[int, list[int]]:
        pairs = ((getattr(t, place), id_) for id_, t in self.records.items())
        return grouped(pair for pair in pairs if pair[0] is not None)


def as_written(test: IsolationTest) -> tuple[tuple[str, str], ...]:
    """Return the readings as the sender wrote them, each with its label."""
    return tuple(_as_written(test))


def _as_written(test: IsolationTest) -> Iterator[tuple[str, str]]:
    written: Mapping[str, str] = json.loads(test.as_written or "{}")
    yield from ((label, written[label]) for label in _READINGS if label in written)
    for name in _MORE:
        if getattr(test, name):
            yield name, str(getattr(test, name))
