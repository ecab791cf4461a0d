"""A small site that holds a hostile text in every text column of every kind."""

import datetime as dt
import json
import tomllib
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from jointmap.hazard.failure_model import default_prior, to_json
from jointmap.register import (
    FORMS,
    Alias,
    Altered,
    Attachment,
    Certificate,
    Chainage,
    Column,
    Crew,
    CurrentSource,
    DayOff,
    Decision,
    Held,
    Installation,
    Instrument,
    IsolationTest,
    Lead,
    Line,
    Model,
    Occurrence,
    ParallelPath,
    PhotoPlace,
    Position,
    Qualification,
    Record,
    Road,
    TestPoint,
    form_of,
)
from jointmap.register.codes import (
    DecisionKind,
    LeadState,
    Mark,
    OccurrenceKind,
    Outcome,
    PathKind,
    PathState,
    Scope,
    Side,
    Stage,
    Subject,
)
from jointmap.register.paper_states import NONE_KEPT
from jointmap.register.ruling import ON_PAPERS, PAPERED
from jointmap.sites.site_folder import SiteFolder
from tests.opened_site import opened
from tests.storage.samples import unasked

PROBES = Path(__file__).parent / "probes" / "probes.toml"
NOW = dt.datetime(2026, 5, 1, 12, tzinfo=dt.UTC)
# Text that the program reads as something else, so that ``load`` takes no other; each
# with what it is read as. All other text columns take any text there is.
READ_AS = {
    ("site", "code"): "the name of the site in its database",
    ("site", "time_zone"): "a time zone",
    ("site", "working_crs"): "a reference system",
    ("line", "coordinates"): "JSON made by the program",
    ("road", "coordinates"): "JSON made by the program",
    ("chainage", "tie_points"): "JSON made by the program",
    ("model", "numbers"): "JSON made by the program",
    ("held", "sheet"): "the name of a sheet",
    ("held", "doubt"): "the id of a sentence",
    ("held", "details"): "JSON made by the program",
    ("crew", "day_from"): "a time of day",
    ("crew", "day_until"): "a time of day",
    ("crew", "working_days"): "days of the week",
    ("joint", "permit_from"): "a time of day",
    ("joint", "permit_until"): "a time of day",
    ("joint", "season_from"): "a day of the year",
    ("joint", "season_until"): "a day of the year",
    ("test", "method"): "a method",
    ("limit", "method"): "a method",
    ("limit", "unit"): "a unit",
    ("rule", "trigger"): "a word from a list; the record refuses others",
    ("position", "captured_crs"): "a reference system",
    ("decision", "subject"): "a kind of record",
    ("altered", "column"): "a column from a list; the record refuses others",
    ("attachment", "subject"): "a kind of record",
    ("attachment", "sha256"): "the digest of a file",
    ("photo_place", "sha256"): "the digest of a file",
}
SHA256 = "0" * 64


def probes() -> dict[str, str]:
    """Return every probe by name; those that no register takes are left out."""
    found = tomllib.loads(PROBES.read_text(encoding="utf-8"))
    found.pop("kept_out")
    texts = {f"{f}.{n}": t for f, own in found.items() for n, t in own.items()}
    texts["letters.long"] *= 20
    return texts


def text_columns() -> list[tuple[str, Column]]:
    """Return kind and column of every text that may hold anything."""
    return [
        (kind, column)
        for kind, form in FORMS.items()
        for column in form.columns
        if column.type is str
        and column.words is None
        and (kind, column.name) not in READ_AS
    ]


def hostile(record: Record, text: str, row: int, *, named: bool) -> Record:
    """Return ``record`` with ``text`` in every text column; keys differ by row.

    ``named`` ends each text with its column, so that a page shows where it is from.
    """
    form = form_of(type(record))
    given = {}
    for name in (c.name for kind, c in text_columns() if kind == form.kind):
        own = f"{text} {form.kind}.{name}" if named else text
        given[name] = f"{own} {row}" if name in form.key and row > 1 else own
    if "as_written" in given:
        labels = [c.label for c in form.columns if c.quantity]
        written = f"{text} {form.kind}.as_written" if named else text
        given["as_written"] = json.dumps(dict.fromkeys(labels, written))
    about = getattr(record, "subject", "joint")
    if about in PAPERED:
        del given["subject_key"]  # a word from a list; the record refuses others
    elif "subject_key" in given:
        name = "boundary.name" if about == "boundary" else "joint.tag"
        given["subject_key"] = f"{text} {name}" if named else text
    return replace(record, **given)


def _place(subject: Subject, id_: int, lat: float = 31.4) -> Position:
    where = {"latitude_deg": lat, "longitude_deg": -41.9, "captured_crs": "EPSG:4326"}
    return Position(subject=subject, subject_id=id_, **where)


def _extra() -> Iterator[Record]:
    """Yield records of the kinds that the small site lacks, in order of reference."""
    day, end = dt.date(2020, 1, 10), dt.date(2030, 1, 10)
    at = "[[-41.91,31.39],[-41.9,31.4],[-41.8,31.41]]"
    yield Qualification(
        person_id=1, task="", valid_from_on=day, valid_until_on=dt.date(2021, 1, 1)
    )
    yield Instrument(name="", kind="")
    yield Certificate(instrument_id=1, number="", valid_from_on=day, valid_until_on=end)
    yield Line(name="", coordinates=at)
    posts = "[[0,-41.91,31.39],[1,-41.9,31.4],[9,-41.8,31.41]]"
    yield Chainage(line_id=1, measuring="", measured_on=day, tie_points=posts)
    yield CurrentSource(name="", structure_id=1, kind="", can_be_interrupted=True)
    yield Alias(joint_id=1, name="")
    yield TestPoint(name="", joint_id=1)
    yield Lead(
        test_point_id=1, colour="", side=Side.A, structure_id=1, state=LeadState.BROKEN
    )
    yield Installation(
        device_id=1, installed_on=dt.date(2020, 1, 5), stud_length_metre=0.2,
        torque_target_newton_metre=100.0, pass_1_newton_metre=100.0, fitter_id=1,
    )  # fmt: skip
    yield ParallelPath(
        name="", boundary_id=1, joint_id=1, kind=PathKind.TUBING, fitted_on=day,
        state=PathState.JOINING, checked_on=day,
    )  # fmt: skip
    yield Occurrence(
        happened_on=dt.date(2025, 6, 1), kind=OccurrenceKind.STORM, place="", joint_id=1
    )
    yield Crew(
        name="", persons=2, depot="", day_from="07:00", day_until="16:00",
        working_days="Mon;Tue;Wed;Thu;Fri",
    )  # fmt: skip
    yield DayOff(crew_id=1, off_on=dt.date(2026, 6, 4))
    yield Road(name="", speed_metre_per_second=12.0, coordinates=at)
    yield _place(Subject.CREW, 1)
    yield Altered(subject=Subject.JOINT, subject_id=1, column="fluid", until_on=day)
    yield _place(Subject.SOURCE, 1, 31.41)
    yield Model(
        name="", from_on=dt.date(2026, 1, 1), numbers=to_json(default_prior()),
        source="", mark=Mark.OWNER_CHOICE,
    )  # fmt: skip
    yield from _papers()


def _papers() -> Iterator[Record]:
    on, end = dt.date(2026, 4, 1), dt.date(2026, 12, 1)
    for n, (kind, subject) in enumerate(
        (k, s)
        for k in DecisionKind
        if k not in ON_PAPERS
        for s in ("joint", "boundary")
    ):
        # The texts come after; what is refused without them needs some for now.
        yield Decision(
            number=str(n), decided_on=on, kind=kind, person_id=1, subject=subject,
            subject_key="", why="", authority="x", until_on=end,
        )  # fmt: skip
    for n, kind in enumerate(ON_PAPERS, start=100):
        until = (
            on - dt.timedelta(days=1) if kind is DecisionKind.PAPERS_NOT_KEPT else end
        )
        yield Decision(
            number=str(n), decided_on=on, kind=kind, person_id=1, subject=PAPERED[0],
            subject_key=NONE_KEPT, why="", authority="x", until_on=until,
        )  # fmt: skip
    yield Attachment(
        sha256=SHA256, media_type="", size_bytes=1, subject="joint", subject_key=""
    )
    yield PhotoPlace(sha256=SHA256, latitude_deg=31.4, longitude_deg=-41.9)
    for doubt in ("row.differs", "place.axes_swapped"):
        yield Held(
            sheet="joints", subject_key="", column=doubt, sent_on=on, doubt=doubt,
            details="{}",
        )  # fmt: skip
    yield IsolationTest(
        scope=Scope.JOINT, joint_id=2, tested_on=on, method="radio-frequency",
        stage=Stage.ROUTINE, outcome=Outcome.GATE_LOCKED, person_id=1, instrument_id=1,
        reading_ohm=None,
    )  # fmt: skip
    yield IsolationTest(
        scope=Scope.JOINT, joint_id=2, tested_on=on, method="ohmmeter",
        stage=Stage.ROUTINE, outcome=Outcome.MEASURED, person_id=1, instrument_id=1,
        reading_ohm=0.5, test_point_id=1,
    )  # fmt: skip


def hostile_site(folder: Path, text: str, *, named: bool = False) -> SiteFolder:
    """Return a site with ``text`` in every text column of every kind of record."""
    site = opened(folder)
    # Also roles that no program takes any more: what is on record is shown.
    with unasked(site.register, NOW, "T1", text) as job:
        for kind in FORMS:
            loaded = sorted(job.known(kind).by_id.items())
            for row, (id_, (_, record)) in enumerate(loaded, start=1):
                job.revise(id_, hostile(record, text, row, named=named))
        for record in _extra():
            row = len(job.known(record.KIND).by_id) + 1
            job.add(hostile(record, text, row, named=named))
        empty = [kind for kind in FORMS if not job.known(kind).by_id]
    assert not empty, f"no record of {empty}"
    return site
