"""New tags that may be another joint's, written another way: asked, never changed."""

from collections.abc import Iterator
from dataclasses import dataclass, field

from jointmap.errors import Problem
from jointmap.register import Joint, Record
from jointmap.register.like_tags import is_of_spreadsheet, look_of, looks_before
from jointmap.storage import Writing

LIKE_TAG, OF_SPREADSHEET = "row.like_tag", "row.spreadsheet_tag"

# A longer text is no tag that anybody reads, and a pattern of it is dear to look for.
_LONGEST = 64


@dataclass(slots=True)
class Tags:
    """What new tags are compared with, while one delivery is taken in."""

    job: Writing
    # By their look: those that came, and where many come all that were there before.
    _tags: dict[str, str] = field(default_factory=dict)
    _is_whole: bool = False

    def note(self, record: Record) -> None:
        """Remember a tag, so that later rows see it."""
        if isinstance(record, Joint):
            self._tags.setdefault(look_of(record.tag), record.tag)

    def doubts(self, record: Record) -> Iterator[Problem]:
        """Yield a doubt where a new tag looks like one that is on record."""
        if not isinstance(record, Joint) or self._is_known(record):
            return
        if len(record.tag) > _LONGEST:
            return
        near = self._near(record.tag)
        if near:
            facts = {"near": near, "proposal": near}
            yield Problem(LIKE_TAG, facts, column="tag", value=record.tag)
        elif is_of_spreadsheet(record.tag):
            yield Problem(OF_SPREADSHEET, column="tag", value=record.tag)

    def _is_known(self, joint: Joint) -> bool:
        return self.job.known("joint").id_of(joint.key()) is not None

    def _near(self, tag: str) -> str:
        looks = dict.fromkeys([look_of(tag), *looks_before(tag)])
        return next((near for look in looks if (near := self._called(look))), "")

    def _called(self, look: str) -> str:
        """Return the tag or older name on record that looks so, or nothing."""
        if self.job.known("joint").in_bulk and not self._is_whole:
            self._tags = {look_of(name): name for name in self._names()} | self._tags
            self._is_whole = True
        if look in self._tags or self._is_whole:
            return self._tags.get(look, "")
        return next((n for n in self._names(look) if look_of(n) == look), "")

    def _names(self, look: str | None = None) -> Iterator[str]:
        """Yield older names and tags; with a look at least those that look so."""
        for kind, column in (("joint", "tag"), ("alias", "name")):
            known = self.job.known(kind)
            keys = known.by_key if look is None else known.keys_alike(column, look)
            yield from (str(key[-1]) for key in keys)
