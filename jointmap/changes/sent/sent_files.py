"""The files that a delivery names in attachments.csv; no others are read."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from jointmap.attached.photo_places import note_place
from jointmap.attached.receiving import Received, received
from jointmap.errors import Problem, Refused
from jointmap.exchange import Draft
from jointmap.exchange.named_files import beside, inside
from jointmap.incoming import open_named_file
from jointmap.storage import Writing
from jointmap.storage.attachment_files import fault_of, path_of

FILE_COLUMN = "file"


@dataclass(slots=True)
class SentFiles:
    """What came with a delivery: taken in before anything is locked, kept at its end.

    What is not kept is gone again when ``taken`` is closed.
    """

    site: Path
    sent: Sequence[Path]
    taken: ExitStack
    _received: dict[Path, Received] = field(default_factory=dict)
    _of_row: dict[tuple[str, int], Received] = field(default_factory=dict)
    _faults: dict[tuple[str, int], list[Problem]] = field(default_factory=dict)
    _accepted: list[Received] = field(default_factory=list)

    def take_in(self, rows: Sequence[Draft]) -> None:
        """Take in what the rows of attachments name; faults are kept for each row."""
        for row in rows:
            try:
                found = self._row(row)
            except Refused as refused:
                faults = [_of_row(p, row) for p in refused.problems]
                self._faults[row.file, row.line] = faults
                continue
            if found is not None:
                self._of_row[row.file, row.line] = found

    def check(self, draft: Draft) -> None:
        """Refuse a row whose file is not there, or is not what the row says."""
        row = draft.file, draft.line
        if row in self._faults:
            raise Refused(self._faults[row])
        values: dict[str, Any] = dict(draft.values)
        got = self._of_row.get(row)
        if got is not None:
            _check_same(values, got)
            self._accepted.append(got)
        elif not self._is_kept(values["sha256"], values["size_bytes"]):
            sha256 = values["sha256"]
            raise Refused(Problem("attach.no_file", column="sha256", value=sha256))

    def keep(self, job: Writing, *, stores: bool) -> None:
        """Record where accepted pictures were taken; put all files into the store."""
        for got in self._accepted:
            note_place(job, got.taken.sha256, got.place)
            if stores and got.taken.half.exists():
                got.keep(self.site, job.key)

    def _row(self, row: Draft) -> Received | None:
        folders = [*self._folders(row.file)]
        if row.named:
            return self._take(inside(folders[0], row.named))
        for path in (p for f in folders for p in beside(f, _original_name(row))):
            got = self._take(path)
            if got.taken.sha256 == row.values["sha256"]:
                return got
        return None

    def _folders(self, sheet: str) -> Iterator[Path]:
        for path in self.sent:
            if path.is_dir() and (path / sheet).is_file():
                yield path
            elif path.name == sheet:
                yield path.parent

    def _take(self, path: Path) -> Received:
        if path not in self._received:
            with ExitStack() as opened:
                source = opened.enter_context(open_named_file(path, None))
                taken = received(self.site, source, path.name)
                self._received[path] = self.taken.enter_context(taken)
        return self._received[path]

    def _is_kept(self, sha256: str, size: int) -> bool:
        try:
            return not fault_of(path_of(self.site, sha256), sha256, size)
        except ValueError:
            return False


def _check_same(values: Mapping[str, Any], got: Received) -> None:
    found = {
        "sha256": got.taken.sha256,
        "media_type": got.kind.media_type,
        "size_bytes": got.taken.size_bytes,
    }
    wrong = [
        Problem("attach.differs", {"found": found[n]}, column=n, value=str(values[n]))
        for n in found
        if values[n] != found[n]
    ]
    if wrong:
        raise Refused(wrong)


def _original_name(row: Draft) -> str:
    return str(row.values.get("original_name") or "")


def _of_row(problem: Problem, row: Draft) -> Problem:
    """Return a problem of a named file as one of the cell that names it."""
    column = FILE_COLUMN if row.named else "original_name"
    value = row.named or _original_name(row)
    return replace(problem, file="", column=column, value=value)
