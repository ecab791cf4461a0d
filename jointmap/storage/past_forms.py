"""Column lists of forms that a later one has replaced: kind, then number, then names.

When a record's FORM goes up, what it was is written here, so that the leaves of old
rows can be made again for ever. No form has been replaced so far.
"""

from collections.abc import Iterator, Mapping, Sequence

from jointmap.register import Form
from jointmap.storage.canonical import Plain, canonical_of

PAST_FORMS: Mapping[str, Mapping[int, tuple[str, ...]]] = {}


def older_bytes(
    form: Form, which: tuple[int, int], values: Sequence[Plain]
) -> Iterator[bytes]:
    """Yield a row's canonical bytes under each earlier form that knew all it holds.

    ``which`` is its id and revision.
    """
    own = dict(zip((c.name for c in form.columns), values, strict=True))
    for number, names in PAST_FORMS.get(form.kind, {}).items():
        if all(own[name] is None for name in own.keys() - set(names)):
            then = [own[name] for name in names]
            yield canonical_of(form.kind, number, *which, then)
