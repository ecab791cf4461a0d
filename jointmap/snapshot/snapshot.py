"""What is on record of a site on a day: the one place that others take records from."""

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Generic, TypeVar
from zoneinfo import ZoneInfo

from jointmap.register import (
    Alias,
    Altered,
    Attachment,
    Boundary,
    Certificate,
    Chainage,
    Crew,
    CurrentSource,
    DayOff,
    Decision,
    Device,
    Held,
    Installation,
    Instrument,
    IsolationTest,
    Joint,
    Limit,
    Line,
    Model,
    Occurrence,
    ParallelPath,
    Person,
    PhotoPlace,
    Position,
    Qualification,
    Record,
    Road,
    Rule,
    Site,
    Structure,
    TestPoint,
)
from jointmap.register.revision import Revision
from jointmap.snapshot.older_names import older_names
from jointmap.storage import Reading, Register
from jointmap.storage.chain.entries import Entry
from jointmap.storage.register_file import Trial

R = TypeVar("R", bound=Record)


class _All(Generic[R]):
    """All records of a kind by id, read when they are first asked for."""

    def __init__(self, kind: type[R]) -> None:
        self.kind = kind

    def __set_name__(self, _: type["Snapshot"], name: str) -> None:
        self.name = name

    def __get__(self, state: "Snapshot", _: type["Snapshot"]) -> Mapping[int, R]:
        found = state.of_kind(self.kind)
        state.__dict__[self.name] = found  # which is looked at first from now on
        return found


@dataclass(frozen=True, eq=False)
class Snapshot:
    """The records of a site on a day, as known on a day; each kind is read once.

    What is dated later is not there. ``stored`` is for the readers of this package:
    whoever stands above it takes records from here, and columns from those.
    """

    stored: Reading

    aliases = _All(Alias)
    altered = _All(Altered)
    attachments = _All(Attachment)
    boundaries = _All(Boundary)
    certificates = _All(Certificate)
    chainages = _All(Chainage)
    crews = _All(Crew)
    days_off = _All(DayOff)
    decisions = _All(Decision)
    devices = _All(Device)
    fittings = _All(Installation)
    held = _All(Held)
    instruments = _All(Instrument)
    joints = _All(Joint)
    limits = _All(Limit)
    lines = _All(Line)
    models = _All(Model)
    occurrences = _All(Occurrence)
    paths = _All(ParallelPath)
    people = _All(Person)
    photo_places = _All(PhotoPlace)
    positions = _All(Position)
    qualifications = _All(Qualification)
    roads = _All(Road)
    rules = _All(Rule)
    sources = _All(CurrentSource)
    structures = _All(Structure)
    test_points = _All(TestPoint)
    tests = _All(IsolationTest)

    def of_kind(self, kind: type[R]) -> Mapping[int, R]:
        """Return all records of a kind, by id."""
        return self.stored.records(kind)

    def having_any(self, kind: type[R], wanted: Mapping[str, int]) -> Mapping[int, R]:
        """Return the records that have any of the wanted values, by id; no others."""
        return self.stored.records_with(kind, wanted)

    def ids_of(self, kind: type[Record], column: str, value: object) -> list[int]:
        """Return the records of a kind with this value in a column, by id.

        Sorted once for each kind and column, so that a page a joint stays linear.
        """
        if (kind, column) not in self._sorted:
            pairs = ((getattr(r, column), i) for i, r in self.of_kind(kind).items())
            self._sorted[kind, column] = grouped(pairs)
        return self._sorted[kind, column].get(value, [])

    def records_of(
        self, kind: type[R], column: str, value: object
    ) -> list[tuple[int, R]]:
        """Return the records of a kind with this value in a column, with their ids."""
        records = self.of_kind(kind)
        return [(id_, records[id_]) for id_ in self.ids_of(kind, column, value)]

    @cached_property
    def _sorted(self) -> dict[tuple[type[Record], str], dict[Any, list[int]]]:
        return {}

    @cached_property
    def joint_ids(self) -> Mapping[str, int]:
        """The id of each joint by its tag and its older names."""
        older = {a.name: id_ for id_, own in self.older_tags.items() for a in own}
        return {**older, **{joint.tag: id_ for id_, joint in self.joints.items()}}

    @cached_property
    def older_tags(self) -> Mapping[int, list[Alias]]:
        """Other names of each joint."""
        return grouped((a.joint_id, a) for a in self.aliases.values())

    @cached_property
    def fitting_of(self) -> Mapping[int, Installation]:
        """The fitting record of each device that has one."""
        return {record.device_id: record for record in self.fittings.values()}

    @cached_property
    def place_of_photo(self) -> Mapping[str, PhotoPlace]:
        """Where each photo was taken that tells of it, by its hash."""
        return {place.sha256: place for place in self.photo_places.values()}

    def older_names(self, kind: type[Record]) -> Mapping[str, int]:
        """Return the names that no record of a kind has now, with who had each last."""
        return older_names(self.stored, kind)

    def names_now(self, kind: type[Record]) -> Mapping[str, str]:
        """Return what is called otherwise now, by each of its older names."""
        older = self.older_names(kind)
        records: Mapping[int, Any] = self.of_kind(kind) if older else {}
        return {n: records[id_].name for n, id_ in older.items() if id_ in records}

    def names_ever(self, kind: type[Record]) -> Mapping[str, int]:
        """Return every name that a record of a kind has or had, with its id."""
        now = {name: id_ for id_, name in self.stored.texts(kind, "name").items()}
        return {**self.older_names(kind), **now}

    def name_of(self, record: Record) -> str:
        """Return what a person called a record then: its natural key, in words."""
        return self.stored.name_of(record)

    def last_id(self, kind: type[Record]) -> int:
        """Return the highest id that the site has of a kind; 0: none."""
        return self.stored.last_id(kind)

    def every_revision(self, kind: type[Record]) -> list[Revision]:
        """Return every revision of a kind written up to this state, oldest first."""
        return self.stored.revisions(kind)

    def corrected_of(self, kind: type[Record]) -> list[list[Revision]]:
        """Return the revisions of every record of a kind that has more than one."""
        if kind not in self._corrected:
            found = self.stored.corrected(kind)
            self._corrected[kind] = list(grouped((r.id, r) for r in found).values())
        return self._corrected[kind]

    @cached_property
    def _corrected(self) -> dict[type[Record], list[list[Revision]]]:
        return {}

    def came_in(
        self, kind: type[Record], wanted: Mapping[str, int] | None = None
    ) -> Mapping[int, int]:
        """Return the entry in which each record first came in, by id.

        Of all records of the kind, or of those that have any of the wanted values now.
        """
        return self.stored.first_entries(kind, wanted)

    @cached_property
    def decision_entries(self) -> Mapping[int, int]:
        """The entry in which each decision came in."""
        return self.came_in(Decision)

    @cached_property
    def altered_entries(self) -> Mapping[int, int]:
        """The entry in which each alteration came in."""
        return self.came_in(Altered)

    @property
    def site(self) -> Site:
        """The site's own record."""
        return self.stored.site

    @property
    def zone(self) -> ZoneInfo:
        """The time zone of the site."""
        return ZoneInfo(self.site.time_zone)

    @property
    def entries(self) -> Sequence[Entry]:
        """The entries that this state knows of, oldest first."""
        return self.stored.entries

    @property
    def last(self) -> Entry:
        """The last entry that this state knows of."""
        return self.stored.last

    @property
    def newest(self) -> Entry:
        """The last entry of the register, whether this state knows of it or not."""
        return self.stored.all_entries[-1]

    @property
    def is_current(self) -> bool:
        """Whether this is the newest state, or an earlier one."""
        return self.stored.is_current

    def entry(self, number: int) -> Entry:
        """Return an entry by its number."""
        return self.entries[number - 1]

    def local_day(self, entry: int) -> dt.date:
        """Return the day at the site on which an entry was recorded."""
        return self.entry(entry).recorded_at.astimezone(self.zone).date()

    @cached_property
    def known(self) -> "Snapshot":
        """What is known in this state, of whatever day."""
        dated = self.stored.on is not None
        return Snapshot(self.stored.whatever_day) if dated else self

    def on_day(self, on: dt.date) -> "Snapshot":
        """Return what was there on a day, as known in this state."""
        return Snapshot(self.stored.on_day(on))

    def at_entry(self, count: int) -> "Snapshot":
        """Return the state as it was after so many entries."""
        return Snapshot(self.stored.at_entry(count))

    def before_last(self) -> "Snapshot":
        """Return the state as it was before the last entry."""
        return self.at_entry(len(self.entries) - 1)

    def read_through(self, other: "Snapshot") -> None:
        """Go on reading through the connection of another state of the register."""
        for state in (self, self.known):
            state.stored.connection = other.stored.connection


K = TypeVar("K")
V = TypeVar("V")


def grouped(pairs: Iterable[tuple[K, V]]) -> dict[K, list[V]]:
    """Return the values of each key, keys and values in the order given."""
    found: dict[K, list[V]] = {}
    for key, value in pairs:
        found.setdefault(key, []).append(value)
    return found


@contextmanager
def snapshot_of(register: Register, known: dt.date | None = None) -> Iterator[Snapshot]:
    """Give the state of a register at the end of ``known``; None: the newest."""
    with register.read(known) as stored:
        yield Snapshot(stored)


def tried_on(run: Callable[[Snapshot], object]) -> Trial:
    """Return a trial that takes what a change would leave as a snapshot."""
    return lambda stored: run(Snapshot(stored))
