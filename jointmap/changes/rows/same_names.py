"""New names against those on record and those that came with the same delivery."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, TypeAlias

from jointmap.changes.rows.resolve import key_headings, subject_key
from jointmap.errors import Problem, Refused
from jointmap.exchange import Draft
from jointmap.register import Record
from jointmap.register.like_tags import says_no_tag
from jointmap.register.same_letters import odd_mark, skeleton
from jointmap.storage import Writing
from jointmap.storage.past_names import borne

# Their keys are made of what machines wrote: a sender's line ids, a hash.
_OF_MACHINES = ("test", "attachment")
# Other records mean these by their names, and go on to do so when they have new ones.
_MEANT_BY_NAME = ("structure", "source", "boundary", "path")
_Key: TypeAlias = tuple[Any, ...]


@dataclass(slots=True)
class Names:
    """What every new name is compared with, while one delivery is taken in."""

    job: Writing
    _known: dict[str, dict[_Key, tuple[_Key, str]]] = field(default_factory=dict)

    def check(self, draft: Draft, record: Record) -> None:
        """Refuse a new name that looks like another one, or holds what is not seen."""
        key = record.key()
        if self.job.known(draft.kind).id_of(key) is not None:
            return
        for mark in filter(None, map(odd_mark, _texts(key))):
            raise _refused(draft, "row.odd_mark", mark=mark)
        if draft.kind in _OF_MACHINES:
            return
        if draft.kind == "joint" and says_no_tag(*key):
            raise _refused(draft, "row.no_tag")
        for now in self.had_by(draft.kind, key):
            raise _refused(draft, "row.name_of_another", now=now)
        near, first = self._nearest(draft, key)
        if near == key:
            return
        named = " ".join(_texts(near))
        if first:
            raise _refused(draft, "row.same_letters_sent", near=named, first=first)
        raise _refused(draft, "row.same_letters", near=named)

    def had_by(self, kind: str, key: _Key, own: int | None = None) -> Iterator[str]:
        """Yield what each other record that had a name before is called now."""
        if kind in _MEANT_BY_NAME:
            known = self.job.known(kind)
            for id_ in sorted(borne(known, str(key[0])) - {own}):
                yield " ".join(_texts(known.record(id_).key()))

    def _nearest(self, draft: Draft, key: _Key) -> tuple[_Key, str]:
        """Return the name that looks like a key, and whence it came if it was sent."""
        names, looks = self._names(draft.kind), _looks(key)
        if looks not in names and not self.job.known(draft.kind).in_bulk:
            like = {_looks(k): (k, "") for k in self._like(draft.kind, key)}
            names |= {k: v for k, v in like.items() if k == looks}
        return names.setdefault(looks, (key, draft.origin))

    def _names(self, kind: str) -> dict[_Key, tuple[_Key, str]]:
        if kind not in self._known:
            in_bulk = self.job.known(kind).in_bulk
            all_ = self._on_record(kind) if in_bulk else ()
            self._known[kind] = {_looks(k): (k, "") for k in all_}
        return self._known[kind]

    def _on_record(self, kind: str) -> Iterator[_Key]:
        if kind == "joint":
            # Older names of joints still find them.
            yield from ((name,) for _, name in self.job.known("alias").by_key)
        yield from self.job.known(kind).by_key

    def _like(self, kind: str, key: _Key) -> Iterator[_Key]:
        """Yield of these at least those that may look like a key."""
        known = self.job.known(kind)
        if kind == "joint":
            (tag,) = key
            found = self.job.known("alias").keys_like(name=tag)
            yield from ((name,) for _, name in found)
        yield from known.keys_like(**dict(zip(known.form.key, key, strict=True)))


def _looks(key: _Key) -> _Key:
    return tuple(skeleton(part) if type(part) is str else part for part in key)


def _texts(key: _Key) -> Iterator[str]:
    yield from (part for part in key if type(part) is str)


def _refused(draft: Draft, id_: str, **facts: object) -> Refused:
    key = subject_key(draft)
    return Refused(Problem(id_, facts, column=key_headings(draft), value=key))
