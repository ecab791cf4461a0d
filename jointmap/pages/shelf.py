"""The attached files of joints as pages show them: copies made anew, in the page."""

import base64
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from jointmap.attached.receiving import shown_of
from jointmap.attached.shown_copies import Shown
from jointmap.files.names import ATTACHMENTS
from jointmap.pages.showing import Showing
from jointmap.register import Attachment
from jointmap.reports.views import NO_LINK, Link
from jointmap.reports.views_files import FileView, PicturePage
from jointmap.sites.site_folder import SiteFolder
from jointmap.wording import say

# A dossier stays a page that opens at once: so many small pictures, each so large.
MOST_SMALL, MOST_SMALL_BYTES = 24, 60_000
_OF_JOINTS = ("joint", "device", "installation", "test")


@dataclass(frozen=True)
class Shelf:
    """The attached files of a state; a copy is read, or made, when it is asked for."""

    showing: Showing
    site: SiteFolder

    @cached_property
    def by_joint(self) -> Mapping[int, list[int]]:
        """The attachments of each joint, its devices and tests, newest entry first."""
        tags = self.showing.state.joint_ids
        found: dict[int, list[int]] = {}
        for id_, record in self.showing.state.attachments.items():
            words = (record.subject_key, *record.subject_key.split())
            joint = next((tags[w] for w in words if w in tags), None)
            if joint is not None and record.subject in _OF_JOINTS:
                found.setdefault(joint, []).append(id_)
        for own in found.values():
            own.sort(key=lambda id_: (-self._entries[id_], id_))
        return found

    def of_joint(self, id_: int) -> tuple[FileView, ...]:
        """Return what the dossier of a joint shows of its files."""
        return tuple(self._views(self.by_joint.get(id_, [])))

    def pages(self) -> Iterator[tuple[str, PicturePage]]:
        """Yield address and page of each picture that a dossier leads to, once."""
        done = set()
        for joint, own in self.by_joint.items():
            for id_ in own:
                record = self.showing.state.attachments[id_]
                shown = self._shown(record)
                href = _href(record)
                if shown.copy is not None and href not in done:
                    done.add(href)
                    yield href, self._page(joint, id_, shown)

    @cached_property
    def _entries(self) -> Mapping[int, int]:
        return self.showing.state.came_in(Attachment)

    def _shown(self, record: Attachment) -> Shown:
        return shown_of(self.site.path, self.site.register.key, record)

    def _views(self, ids: list[int]) -> Iterator[FileView]:
        for number, id_ in enumerate(ids):
            shown = self._shown(self.showing.state.attachments[id_])
            view = self._view(id_, shown)
            yield view if number < MOST_SMALL else replace(view, small="")

    def _view(self, id_: int, shown: Shown) -> FileView:
        record = self.showing.state.attachments[id_]
        place = self.showing.state.place_of_photo.get(record.sha256)
        taken = place.taken_on if place is not None else None
        copy = shown.copy
        has_small = copy is not None and len(copy.small) <= MOST_SMALL_BYTES
        return FileView(
            view=record.view,
            on=taken or self.showing.state.local_day(self._entries[id_]),
            is_taken=taken is not None,
            media_type=record.media_type,
            size=say("picture.bytes", {"count": record.size_bytes}),
            sha256=record.sha256,
            small=_address(copy.media_type, copy.small) if copy and has_small else "",
            page=_link(record) if copy else NO_LINK,
            notes=shown.notes,
            why=shown.why,
        )

    def _page(self, joint: int, id_: int, shown: Shown) -> PicturePage:
        record, copy = self.showing.state.attachments[id_], shown.copy
        link = self.showing.joint_link(joint)
        frame = replace(self.showing.frame, up="../", trail=(link,))
        name = f"{ATTACHMENTS}/{record.sha256[:2]}/{record.sha256}"
        picture = _address(copy.media_type, copy.page) if copy else ""
        view = replace(self._view(id_, shown), small="")
        return PicturePage(
            frame=frame, file=view, picture=picture, joint=link, kept_at=name
        )


def _link(record: Attachment) -> Link:
    return Link(record.view or say("page.picture"), _href(record))


def _href(record: Attachment) -> str:
    return f"pictures/{record.sha256[:32]}.html"


def _address(media_type: str, data: bytes) -> str:
    return f"data:{media_type};base64,{base64.b64encode(data).decode()}"
