"""What pages show of attached files: a small copy, a page of its own, or why not."""

import datetime as dt
from dataclasses import dataclass

from jointmap.reports.views import NO_LINK, Frame, Link


@dataclass(frozen=True, slots=True, kw_only=True)
class FileView:
    """One attached file. ``small`` is a ``data:`` address of a copy made anew.

    ``on`` is the day of the camera's clock where ``is_taken``, else the day of entry.
    ``why`` says why no copy is shown, ``notes`` what a reader should know of it.
    """

    view: str
    on: dt.date
    media_type: str
    size: str
    sha256: str
    is_taken: bool = False
    small: str = ""
    page: Link = NO_LINK
    notes: tuple[str, ...] = ()
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PicturePage:
    """One picture on a page of its own, as large as its copy."""

    frame: Frame
    file: FileView
    picture: str
    joint: Link
    kept_at: str
