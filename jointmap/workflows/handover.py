"""Handing over fitting records: the page, the submission kept as sent, and back."""

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Any

from jointmap.attached.receiving import received
from jointmap.changes.change import Change, begin
from jointmap.errors import BrokenRegister, Problem, WrongUse
from jointmap.files import publishing
from jointmap.incoming import open_named_file
from jointmap.pages.asked import frame_of
from jointmap.pages.handover_view import (
    VIEW,
    handover_page,
    handover_rows,
    submissions,
)
from jointmap.pages.written import Written
from jointmap.plain_text import json_text
from jointmap.register import Attachment, Record, form_of
from jointmap.reports.handover import handover_html, handover_table
from jointmap.reports.views_handover import HandoverRow
from jointmap.sites.site_folder import SiteFolder, mark_of
from jointmap.snapshot.snapshot import Snapshot, snapshot_of
from jointmap.storage.attachment_files import fault_of, path_of
from jointmap.storage.kept_together import keeping
from jointmap.wording import say

SUBMISSION = "submission.json"


class _Kind(StrEnum):
    """What kind of published folder this is."""

    HANDOVER = "handover"
    AS_SENT = "submission as sent"


@dataclass(frozen=True, slots=True)
class HandedOver:
    """Where the page lies, how many joints have open points, and the first point."""

    index: Path
    open: int
    first: str = ""
    told: tuple[Problem, ...] = ()


def write_handover(
    site: SiteFolder,
    out: Path,
    *,
    on: dt.date,
    known: dt.date | None,
    contractor: str | None,
    force: bool = False,
) -> HandedOver:
    """Publish page, table and submission of a contractor, or of all, as ``out``.

    The submission holds the rows as shown and the records behind them, bound to the
    register's fingerprint. Raises ``WrongUse`` for a contractor with no record.
    """
    with publishing(out, _Kind.HANDOVER, mark_of(site), force=force) as folder:
        with snapshot_of(site.register, known) as state:
            rows = handover_rows(state, on, contractor)
            frame = frame_of(site, state, on, known)
            page = handover_page(state, frame, rows, contractor)
            files = {
                "handover.html": handover_html(page),
                "handover.csv": handover_table(rows),
                SUBMISSION: _submission(state, on, contractor, rows),
            }
        folder.put(files.items(), frame.fingerprint)
    open_ = [f"{row.joint.text}: {row.punch_list[0]}" for row in rows if row.is_open]
    first = next(iter(open_), "")
    index = out / "handover.html"
    return HandedOver(index, len(open_), first, tuple(folder.told))


def _submission(
    state: Snapshot, on: dt.date, contractor: str | None, rows: Iterable[HandoverRow]
) -> str:
    tags = {row.joint.text for row in rows}
    joints = {i: j for i, j in state.joints.items() if j.tag in tags}
    devices = {i: d for i, d in state.devices.items() if d.joint_id in joints}
    papers = [r for r in state.fittings.values() if r.device_id in devices]
    held = {
        "site": state.site.code,
        "fingerprint": state.last.fingerprint,
        "on": on.isoformat(),
        "contractor": contractor or "",
        "rows": [_plain_row(row) for row in rows],
        "joints": [_plain(j) for j in joints.values()],
        "devices": [_plain(d) for d in devices.values()],
        "installations": [_plain(p) for p in papers],
    }
    return json_text(held, indent=1, default=str) + "\n"


def _plain_row(row: HandoverRow) -> Mapping[str, Any]:
    return {
        "joint": row.joint.text,
        "serial": row.serial,
        "fitted_on": row.fitted_on,
        "counts": [row.meets, row.fails, row.blank, row.table],
        "open": row.punch_list,
        "exceptions": row.exceptions,
    }


def _plain(record: Record) -> Mapping[str, Any]:
    names = [column.name for column in form_of(type(record)).columns]
    return dict(zip(names, record.values(), strict=True))


def submit(site: SiteFolder, out: Path, contractor: str | None, change: Change) -> str:
    """Keep the submission that lies in ``out`` as it is; return what was done.

    Raises ``WrongUse`` where this very submission is kept already.
    """
    who = contractor or say("handover.all")
    with (
        open_named_file(out / SUBMISSION, None) as source,
        received(site.path, source, SUBMISSION) as got,
        keeping(site.register, site.path),
        begin(site, change) as job,
    ):
        sha256 = got.taken.sha256
        key = (sha256, "site", site.register.site_code)
        if job.known("attachment").id_of(key) is not None:
            raise WrongUse(Problem("handover.same", {"sha256": sha256}))
        job.add(
            Attachment(
                sha256=sha256,
                media_type=got.kind.media_type,
                size_bytes=got.taken.size_bytes,
                subject="site",
                subject_key=site.register.site_code,
                view=f"{VIEW}{who}",
                original_name=SUBMISSION,
            )
        )
        got.keep(site.path, site.register.key)
    return say("handover.frozen", {"sha256": sha256, "short": sha256[:12]})


def give_back(
    site: SiteFolder, wanted: str, out: Path, *, force: bool = False
) -> Written:
    """Publish a kept submission, byte for byte as sent, as the folder ``out``.

    Raises ``WrongUse`` for one that is not kept, ``BrokenRegister`` for one that is
    gone or altered.
    """
    with snapshot_of(site.register) as state:
        names = [row.sha256 for row in submissions(state)]
        sizes = {a.sha256: a.size_bytes for a in state.attachments.values()}
    found = [name for name in names if wanted and name.startswith(wanted.lower())]
    if len(found) != 1:
        kept = ", ".join(name[:12] for name in names)
        facts = {"wanted": wanted, "kept": kept or "none"}
        raise WrongUse(Problem("handover.not_kept", facts))
    path = path_of(site.path, found[0])
    if fault_of(path, found[0], sizes[found[0]]):
        raise BrokenRegister(Problem("handover.altered", {"sha256": found[0]}))
    with publishing(out, _Kind.AS_SENT, mark_of(site), force=force) as folder:
        folder.put([(SUBMISSION, path.read_bytes())], found[0])
    return Written(out / SUBMISSION, tuple(folder.told))
