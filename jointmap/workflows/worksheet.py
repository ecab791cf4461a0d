"""Fitting worksheets: one joint or many, as HTML and PDF."""

import datetime as dt
import multiprocessing
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from jointmap.errors import Problem, WrongUse
from jointmap.files import check_output, put_file
from jointmap.files.output_places import place_of
from jointmap.pages.asked import frame_of
from jointmap.pages.file_names import file_names
from jointmap.pages.worksheet.page import worksheet_view
from jointmap.pages.worksheet.places import places_in
from jointmap.reports.views_worksheet import Worksheet
from jointmap.reports.worksheet import worksheet_page, worksheet_pdf
from jointmap.sites.site_folder import SiteFolder
from jointmap.snapshot.names.joint_names import joint_asked
from jointmap.snapshot.parts.part import part_of
from jointmap.snapshot.snapshot import snapshot_of

# The typesetter's memory grows with every sheet: a worker ends after so many.
SHEETS_PER_WORKER = 100


@dataclass(frozen=True, slots=True)
class Sheets:
    """The sheets that were written, and what there is to tell."""

    paths: list[Path]
    told: list[Problem]


def write_worksheets(  # noqa: PLR0913 - one for each option
    site: SiteFolder,
    tags: Sequence[str],
    out: Path,
    *,
    on: dt.date,
    known: dt.date | None,
    scheme: str,
    force: bool = False,
) -> Sheets:
    """Write the sheets; return their paths.

    ``out`` is a folder, for an HTML and a PDF of each tag, or one file that ends in
    .pdf or .html, for one tag. Other sheets of the folder stay.

    Raises ``WrongUse`` for an unknown tag, a joint without a device, an unknown scheme,
    one file for several joints, or a place of others; nothing is written then.
    """
    is_file = out.suffix.lower() in SUFFIXES and not out.is_dir()
    if is_file and len(tags) > 1:
        raise WrongUse(Problem("worksheet.one_file", {"out": out, "count": len(tags)}))
    if is_file:
        place_of(out).parent.mkdir(parents=True, exist_ok=True)
        check_output(out, force=force)
    views = worksheet_views(site, tags, on=on, known=known, scheme=scheme)
    if is_file:
        data = SUFFIXES[out.suffix.lower()](views[0])
        return Sheets([out], put_file(out, data, force=force))
    return _all_in(out, views, force=force)


def _all_in(folder: Path, views: Sequence[Worksheet], *, force: bool) -> Sheets:
    place = place_of(folder)
    if place.exists() and not place.is_dir():
        raise WrongUse(Problem("output.is_file", {"place": str(folder)}))
    place.mkdir(parents=True, exist_ok=True)
    stems = file_names(view.tag for view in views)
    done = Sheets([folder / f"{stems[v.tag]}{s}" for v in views for s in SUFFIXES], [])
    for path in done.paths:
        check_output(path, force=force)
    written = iter(done.paths)
    for view, pdf in zip(views, _pdfs(views), strict=True):
        for data in (_html(view), pdf):
            done.told.extend(put_file(next(written), data, force=force))
    return done


def _html(view: Worksheet) -> bytes:
    return worksheet_page(view).encode()


def worksheet_views(
    site: SiteFolder,
    tags: Sequence[str],
    *,
    on: dt.date,
    known: dt.date | None,
    scheme: str,
) -> list[Worksheet]:
    """Return the view of each tag's sheet, in the order of the tags."""
    with snapshot_of(site.register, known) as state:
        ids = [joint_asked(state, tag) for tag in tags]
        part = part_of(state, ids).state if state.is_current else state
        places = places_in(part, ids, on)
        bare = [part.joints[i].tag for i in ids if i not in places]
        if bare:
            raise WrongUse(Problem("worksheet.no_device", {"tags": ", ".join(bare)}))
        frame = frame_of(site, state, on, known)
        return [worksheet_view(places[i], frame, scheme) for i in ids]


def _pdfs(views: Sequence[Worksheet]) -> Iterator[bytes]:
    if len(views) <= SHEETS_PER_WORKER:
        yield from map(worksheet_pdf, views)
        return
    fresh = multiprocessing.get_context("spawn")
    for first in range(0, len(views), SHEETS_PER_WORKER):
        share = views[first : first + SHEETS_PER_WORKER]
        with ProcessPoolExecutor(max_workers=1, mp_context=fresh) as worker:
            yield from worker.map(worksheet_pdf, share)


# What one file is made as.
SUFFIXES = {".html": _html, ".pdf": worksheet_pdf}
