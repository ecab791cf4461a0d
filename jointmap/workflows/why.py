"""How the date and the verdict of a joint, a path or a boundary come about."""

import datetime as dt

from jointmap.pages.asked import assessed_part, of_joint, of_path
from jointmap.pages.dossier.answer import joint_named
from jointmap.pages.dossier.why import path_why, told_tests, why_view
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.register import Boundary, Joint, ParallelPath, Record
from jointmap.reports import terminal
from jointmap.sites.site_folder import SiteFolder

# A name is looked for among joints first; their older names come last of all.
_KINDS: tuple[tuple[type[Record], str], ...] = (
    (Joint, "tag"),
    (Boundary, "name"),
    (ParallelPath, "name"),
)


def why_text(site: SiteFolder, name: str, *, on: dt.date, known: dt.date | None) -> str:
    """Return every step to the date and the verdict of what is called so.

    Raises ``WrongUse`` for a name that no joint, boundary or path has or had.
    """
    name = name.strip()
    kind = _kind_called(site, name, known)
    if kind is Boundary:
        from jointmap.pages.boundary.page import boundary_text

        return boundary_text(site, name, on=on, known=known)
    if kind is ParallelPath:
        with assessed_part(site, of_path(name), on, known) as (found, frame):
            return terminal.path_text(path_why(Showing(found, frame), name))
    with assessed_part(site, of_joint(name), on, known) as (found, frame):
        return why_told(Showing(found, frame), name)


def _kind_called(
    site: SiteFolder, name: str, known: dt.date | None
) -> type[Record] | None:
    with site.register.read(known) as state:
        found = (k for k, column in _KINDS if state.ids_with(k, column, [name]))
        return next(found, None)


def why_told(showing: Showing, tag: str) -> str:
    """Return what is told of a joint of a state that was judged before."""
    id_ = joint_named(showing, tag)
    tests = ShownTests(showing, id_, told_tests(showing, id_))
    return terminal.why_text(why_view(showing, tests, id_))
