"""How the date and the verdict of a joint, a path or a boundary come about."""

import datetime as dt
from collections.abc import Mapping

from jointmap.pages.asked import assessed_part, of_joint, of_path
from jointmap.pages.dossier.answer import joint_named
from jointmap.pages.dossier.why import path_why, told_tests, why_view
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.register import Boundary, Joint, ParallelPath, Record
from jointmap.register.codes import Subject
from jointmap.reports import terminal
from jointmap.sites.site_folder import SiteFolder
from jointmap.snapshot.snapshot import snapshot_of
from jointmap.snapshot.things_called import called_exactly
from jointmap.wording import say

# What may have a name; older names of joints come last of all.
_KINDS: dict[type[Record], Subject] = {
    Boundary: Subject.BOUNDARY, ParallelPath: Subject.PATH, Joint: Subject.JOINT,
}  # fmt: skip


def why_text(site: SiteFolder, name: str, *, on: dt.date, known: dt.date | None) -> str:
    """Return every step to the date and the verdict of what is called so.

    Several things of one name are all answered, each after a line that says what it is.
    Raises ``WrongUse`` for a name that no joint, boundary or path has or had.
    """
    name = name.strip()
    kinds = _kinds_called(site, name, known) or [Joint]
    return _together(name, {k: _ANSWER[k](site, name, on, known) for k in kinds})


def why_told(showing: Showing, name: str) -> str:
    """Return the same of a state that was judged before, which is the whole site's."""
    name = name.strip()
    found: dict[type[Record], str] = {}
    if name in {b.name for b in showing.boundaries.values()}:
        from jointmap.pages.boundary.page import boundary_told

        found[Boundary] = boundary_told(showing, name)
    if name in {p.name for p in showing.paths.values()}:
        found[ParallelPath] = terminal.path_text(path_why(showing, name))
    if name in showing.state.joint_ids or not found:
        found[Joint] = joint_told(showing, name)
    return _together(name, found)


def _together(name: str, told: Mapping[type[Record], str]) -> str:
    """Return one answer as it is, and several each after a line on what it is of."""
    if len(told) == 1:
        return next(iter(told.values()))
    heads = {k: say("why.several", {"name": name, "kind": _KINDS[k]}) for k in told}
    return "\n".join(f"{heads[k]}\n{text}" for k, text in told.items())


def _kinds_called(
    site: SiteFolder, name: str, known: dt.date | None
) -> list[type[Record]]:
    with snapshot_of(site.register, known) as state:
        called = called_exactly(state, name)
    ids = (called.boundaries, called.paths, called.joints)
    return [kind for kind, found in zip(_KINDS, ids, strict=True) if found]


def _of_boundary(
    site: SiteFolder, name: str, on: dt.date, known: dt.date | None
) -> str:
    from jointmap.pages.boundary.page import boundary_text

    return boundary_text(site, name, on=on, known=known)


def _of_path(site: SiteFolder, name: str, on: dt.date, known: dt.date | None) -> str:
    with assessed_part(site, of_path(name), on, known) as (found, frame):
        return terminal.path_text(path_why(Showing(found, frame), name))


def _of_joint(site: SiteFolder, name: str, on: dt.date, known: dt.date | None) -> str:
    with assessed_part(site, of_joint(name), on, known) as (found, frame):
        return joint_told(Showing(found, frame), name)


_ANSWER = {Boundary: _of_boundary, ParallelPath: _of_path, Joint: _of_joint}


def joint_told(showing: Showing, tag: str) -> str:
    """Return what is told of a joint of a state that was judged before."""
    id_ = joint_named(showing, tag)
    tests = ShownTests(showing, id_, told_tests(showing, id_))
    return terminal.why_text(why_view(showing, tests, id_))
