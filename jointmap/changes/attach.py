"""Attach files to records: kept once, known by what is in them, linked to many."""

from collections.abc import Iterator
from pathlib import Path

from jointmap.attached.photo_places import distance_to, note_place
from jointmap.attached.receiving import Received, received
from jointmap.changes.change import Change, begin
from jointmap.changes.rows.find_record import key_of, kind_called, record_called
from jointmap.errors import Problem, WrongUse
from jointmap.incoming import open_named_file
from jointmap.incoming.size_limits import check_cell
from jointmap.register import Attachment
from jointmap.sites.site_folder import SiteFolder
from jointmap.storage import Writing
from jointmap.storage.kept_together import keeping
from jointmap.wording import say


def attach(
    site: SiteFolder, file: Path, to: tuple[str, str], view: str, change: Change
) -> list[str]:
    """Keep a file in the site and link it to a record; returns what was done.

    ``to`` is the record's kind and its natural key. Raises ``Refused`` for a file of
    another type or too large and a view longer than a cell, ``WrongUse`` for an unknown
    record or a second time.
    """
    kind = kind_called(to[0]).kind
    check_cell(view, "--view")
    # Nothing is locked while the file is taken apart.
    with (
        open_named_file(file, None) as source,
        received(site.path, source, file.name) as got,
        keeping(site.register, site.path),
        begin(site, change) as job,
    ):
        record = _record(job, got, (kind, to[1]), view, file.name)
        metres = distance_to(job, record, got.place)
        job.add(record)
        note_place(job, record.sha256, got.place)
        got.keep(site.path, site.register.key)
    return [*_told(record, got, metres)]


def _record(
    job: Writing, got: Received, to: tuple[str, str], view: str, name: str
) -> Attachment:
    subject = to[0].replace("_", " ")
    id_ = record_called(job, *to)
    key = key_of(job, job.known(to[0]).record(id_))
    there = job.known("attachment").id_of((got.taken.sha256, subject, key))
    if there is not None:
        facts = {"name": name, "subject": subject, "key": key}
        raise WrongUse(Problem("attach.same", facts))
    return Attachment(
        sha256=got.taken.sha256,
        media_type=got.kind.media_type,
        size_bytes=got.taken.size_bytes,
        subject=subject,
        subject_key=key,
        view=view,
        original_name=name,
    )


def _told(record: Attachment, got: Received, metres: float | None) -> Iterator[str]:
    facts = {
        "name": record.original_name,
        "subject": record.subject,
        "key": record.subject_key,
        "media_type": record.media_type,
        "size_bytes": record.size_bytes,
        "sha256": record.sha256,
        "why": got.shown.why,
        "distance": metres,
    }
    yield say("attach.done", facts)
    yield say("attach.kept", facts)
    yield say("attach.not_shown" if got.shown.why else "attach.shown", facts)
    notes = [*(say(f"picture.{n}") for n in got.kind.notes), *got.shown.notes]
    yield from (say("attach.note", {"note": note}) for note in notes)
    if got.place is not None:
        yield say("attach.place" if metres is None else "attach.place_far", facts)
