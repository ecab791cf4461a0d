"""Column lists of forms that a later one has replaced: kind, then number, then names.

When a record's FORM goes up, what it was is written here, so that the leaves of old
rows can be made again for ever. No form has been replaced so far.
"""

from collections.abc import Mapping

PAST_FORMS: Mapping[str, Mapping[int, tuple[str, ...]]] = {}
