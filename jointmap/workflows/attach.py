"""Attach files to records: kept once, known by what is in them, linked to many."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from jointmap.errors import Problem, Refused, WrongUse
from jointmap.exchange import Draft
from jointmap.register import Attachment
from jointmap.storage.attachment_files import (
    StoredFile,
    fault_of,
    look_at,
    path_of,
    store,
)
from jointmap.storage.keeping import keeping
from jointmap.wording import say
from jointmap.workflows.changes import Change, begin
from jointmap.workflows.find_record import key_of, kind_called, record_called
from jointmap.workflows.site_folder import SiteFolder


def attach(
    site: SiteFolder, file: Path, to: tuple[str, str], view: str, change: Change
) -> str:
    """Keep a file in the site and link it to a record; returns what was done.

    ``to`` is the record's kind and its natural key. Raises ``Refused`` for a file of
    another type or too large, ``WrongUse`` for an unknown record or a second time.
    """
    kind = kind_called(to[0]).kind
    if not file.is_file():
        raise Refused(Problem("file.not_found", file=str(file)))
    with keeping(site.register, site.path), begin(site, change) as job:
        subject = kind.replace("_", " ")
        id_ = record_called(job, kind, to[1])
        key = key_of(job, job.known(kind).by_id[id_][1])
        kept = store(site.path, file)
        facts = {"name": file.name, "subject": subject, "key": key}
        if (kept.sha256, subject, key) in job.known("attachment").by_key:
            raise WrongUse(Problem("attach.same", facts))
        record = Attachment(
            sha256=kept.sha256,
            media_type=kept.media_type,
            size_bytes=kept.size_bytes,
            subject=subject,
            subject_key=key,
            view=view,
            original_name=file.name,
        )
        job.add(record)
    return say("attach.done", facts)


@dataclass(slots=True)
class SentFiles:
    """The files that lie in a delivery beside its sheet of attachments."""

    site: Path
    sent: Sequence[Path]
    keeps: bool
    _found: dict[str, tuple[Path, StoredFile]] | None = field(default=None)

    def keep(self, draft: Draft) -> None:
        """Keep the file that a row speaks of; raises ``Refused`` otherwise."""
        values: dict[str, Any] = dict(draft.values)
        sha256, size = values["sha256"], values["size_bytes"]
        if self._found is None:
            self._found = dict(self._look())
        if sha256 in self._found:
            path, seen = self._found[sha256]
            if (values["media_type"], size) != (seen.media_type, seen.size_bytes):
                facts = {"media_type": seen.media_type, "size": seen.size_bytes}
                raise Refused(Problem("attach.differs", facts, value=sha256))
            if self.keeps:
                store(self.site, path)
        elif not self._is_kept(sha256, size):
            raise Refused(Problem("attach.no_file", value=sha256))

    def _is_kept(self, sha256: str, size: int) -> bool:
        try:
            return not fault_of(path_of(self.site, sha256), sha256, size)
        except ValueError:
            return False

    def _look(self) -> Iterator[tuple[str, tuple[Path, StoredFile]]]:
        for folder in (p if p.is_dir() else p.parent for p in self.sent):
            for path in sorted(folder.rglob("*")):
                if path.is_file() and path.parent != folder:
                    try:
                        seen = look_at(path)
                    except Refused:
                        continue
                    yield seen.sha256, (path, seen)
