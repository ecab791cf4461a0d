"""How the date and the verdict of a joint, a path or a boundary come about."""

import datetime as dt
from collections.abc import Callable, Iterator

from jointmap.assessment.judged_part import Judge
from jointmap.pages.asked import assessed_part, of_boundary_of, of_joints, of_paths
from jointmap.pages.dossier.why import path_why, told_tests, why_view
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.register.codes import Subject
from jointmap.reports import terminal
from jointmap.sites.site_folder import SiteFolder
from jointmap.snapshot.things_called import Called, things_asked
from jointmap.wording import say


def why_text(
    site: SiteFolder,
    name: str,
    *,
    on: dt.date,
    known: dt.date | None,
    width: int = terminal.WIDTH,
) -> str:
    """Return every step to the date and the verdict of what is called so.

    Several things of one name are all answered, each after a line that says what it is.
    Raises ``WrongUse`` for a name that no joint, boundary or path has or had.
    """
    name = name.strip()
    with site.register.read(known) as state:
        called = things_asked(state.on_day(on), name)
    told = []
    for subject, id_ in _each(called):
        with assessed_part(site, _JUDGE[subject](id_), on, known) as (found, frame):
            told.append((subject, _told(Showing(found, frame), subject, id_, width)))
    return _together(name, told)


def why_told(showing: Showing, name: str) -> str:
    """Return the same of a state that was judged before, which is the whole site's."""
    name = name.strip()
    called = things_asked(showing.assessed.state, name)
    told = [(s, _told(showing, s, id_, terminal.WIDTH)) for s, id_ in _each(called)]
    return _together(name, told)


_JUDGE: dict[Subject, Callable[[int], Judge]] = {
    Subject.BOUNDARY: of_boundary_of,
    Subject.PATH: lambda id_: of_paths([id_]),
    Subject.JOINT: lambda id_: of_joints([id_]),
}


def _each(called: Called) -> Iterator[tuple[Subject, int]]:
    yield from ((Subject.BOUNDARY, id_) for id_ in called.boundaries)
    yield from ((Subject.PATH, id_) for id_ in called.paths)
    yield from ((Subject.JOINT, id_) for id_ in called.joints)


def _together(name: str, told: list[tuple[Subject, str]]) -> str:
    """Return one answer as it is, and several each after a line on what it is of."""
    if len(told) == 1:
        return told[0][1]
    heads = (say("why.several", {"name": name, "kind": kind}) for kind, _ in told)
    return "\n".join(f"{h}\n{t}" for h, (_, t) in zip(heads, told, strict=True))


def _told(showing: Showing, subject: Subject, id_: int, width: int) -> str:
    if subject is Subject.BOUNDARY:
        from jointmap.pages.boundary.page import boundary_told

        return boundary_told(showing, id_, width)
    if subject is Subject.PATH:
        return terminal.path_text(path_why(showing, id_), width)
    tests = ShownTests(showing, id_, told_tests(showing, id_))
    return terminal.why_text(why_view(showing, tests, id_), width)
