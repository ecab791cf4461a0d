"""The answer about one thing from a part of the register is that from the whole."""

import datetime as dt
from collections import Counter
from collections.abc import Callable
from typing import NamedTuple

import pytest

from jointmap.pages.asked import (
    assessed,
    assessed_part,
    of_boundary,
    of_joints,
    of_life,
    of_paths,
    of_things,
)
from jointmap.pages.boundary.page import boundary_named, boundary_told
from jointmap.pages.boundary.statement import statement_view
from jointmap.pages.dossier.page import one_dossier
from jointmap.pages.dossier.place import NEIGHBOUR_METRE
from jointmap.pages.dossier.why import path_why
from jointmap.pages.showing import Showing
from jointmap.register import Boundary, Joint, ParallelPath
from jointmap.reports import terminal
from jointmap.reports.boundary_statement import statement_page
from jointmap.reports.every_report import REPORTS
from jointmap.sites.site_folder import SiteFolder
from jointmap.snapshot.names.things_called import things_called
from jointmap.snapshot.snapshot import snapshot_of
from jointmap.workflows.findings_listed import findings_of, shown_to_a_person
from jointmap.workflows.opening import open_site
from jointmap.workflows.why import why_told
from tests.large_register import large_register
from tests.opened_site import text_of
from tests.woven_site import ON, woven_site

DAYS = [dt.date(2026, 5, 15), dt.date(2023, 3, 1), dt.date(2019, 1, 1)]
# Read by one answer on a boundary of at most ten joints; a boundary, and what is found
# of one, is told with all boundaries of its structures, here those of one section.
MOST_ROWS, MOST_ROWS_AROUND = 400, 2_000


class Answer(NamedTuple):
    """Of which kind of thing an answer is, what judges its part, what it tells."""

    kind: type
    judge: Callable
    told: Callable


def _dossier(showing, site, tag):
    return REPORTS["dossier"].make(one_dossier(showing, site, tag))


def _path(showing, site, name):
    (id_,) = _called(site, name).paths
    return terminal.path_text(path_why(showing, id_))


def _findings(showing, site, name):
    return text_of(shown_to_a_person(findings_of(showing, _called(site, name))))


def _called(site, name):
    with snapshot_of(site.register) as state:
        return things_called(state, name)


def of_life_and_map(_site, tag):
    return of_life(tag, NEIGHBOUR_METRE)


def of_found(site, name):
    return of_things(_called(site, name))


ANSWERS = {
    "why": Answer(
        Joint,
        lambda site, tag: of_joints(_called(site, tag).joints),
        lambda showing, _, tag: why_told(showing, tag),
    ),
    "why of a path": Answer(
        ParallelPath, lambda site, name: of_paths(_called(site, name).paths), _path
    ),
    "dossier": Answer(Joint, of_life_and_map, _dossier),
    "boundary": Answer(
        Boundary,
        lambda _, name: of_boundary(name),
        lambda showing, _, name: boundary_told(showing, boundary_named(showing, name)),
    ),
    "statement": Answer(
        Boundary,
        lambda _, name: of_boundary(name),
        lambda showing, _, name: statement_page(statement_view(showing, name)),
    ),
    "findings of a joint": Answer(Joint, of_found, _findings),
    "findings of a boundary": Answer(Boundary, of_found, _findings),
    "findings of a path": Answer(ParallelPath, of_found, _findings),
}


def names_of(showing, kind):
    column = "tag" if kind is Joint else "name"
    records = showing.state.of_kind(kind)
    return [getattr(record, column) for record in records.values()]


def told_of_all(site, on, most=None):
    """Return what each answer says of things, from one reading of the whole register.

    Of at most so many things of a kind, evenly among all of them.
    """
    with assessed(site, on, None) as (judged, frame):
        showing, told = Showing(judged, frame), {}
        for title, answer in ANSWERS.items():
            names = names_of(showing, answer.kind)
            every = -(-len(names) // most) if most else 1
            told[title] = {n: answer.told(showing, site, n) for n in names[::every]}
    return told


def compare(site, on, told):
    """Assert that each is told the same from its part; return how many had one."""
    parts = Counter()
    for title, texts in told.items():
        answer = ANSWERS[title]
        for name, expected in texts.items():
            judge = answer.judge(site, name)
            with assessed_part(site, judge, on, None) as (judged, frame):
                parts[title] += bool(judged.state.stored.only)
                found = answer.told(Showing(judged, frame), site, name)
            assert found == expected, (title, name)
    return parts


@pytest.mark.parametrize("on", DAYS, ids=str)
def test_everything_of_the_sample(demo, on, count):
    site = open_site(demo / "site")
    told = told_of_all(site, on, count(4, None))
    parts = compare(site, on, told)
    site.register.close()
    # Not all of them fell back on reading the whole.
    assert [t for t, texts in told.items() if parts[t] * 2 < len(texts)] == []


def test_everything_of_woven_sites(tmp_path, count):
    parts = Counter()
    for seed in range(count(2, 60)):
        site = woven_site(tmp_path, seed)
        parts += compare(site, ON, told_of_all(site, ON, count(5, None)))
        site.register.close()
    assert parts.keys() == ANSWERS.keys()


def _large(folder, copies):
    register = large_register(folder / f"{copies}.sqlite", 200, 10, copies, model=True)
    return SiteFolder(folder, register)


def _rows(site, answer, name):
    """Return how many records one answer was told from."""
    judge = answer.judge(site, name)
    with assessed_part(site, judge, DAYS[0], None) as (judged, frame):
        assert judged.state.stored.only
        answer.told(Showing(judged, frame), site, name)
        return sum(len(ids) for ids in judged.state.stored.only.values())


@pytest.fixture(scope="module")
def large(tmp_path_factory):
    """Sites of 200 joints and of ten times as many."""
    folder = tmp_path_factory.mktemp("large")
    sites = [_large(folder, copies) for copies in (1, 10)]
    yield sites
    for site in sites:
        site.register.close()


@pytest.mark.parametrize("answer", ANSWERS)
def test_a_part_is_as_large_on_a_larger_site(large, answer):
    rows = [_rows(s, ANSWERS[answer], _twentieth(s, answer)) for s in large]
    own = answer.startswith("why")
    assert rows[0] == rows[1] <= (MOST_ROWS if own else MOST_ROWS_AROUND)


def _twentieth(site, answer):
    kind = ANSWERS[answer].kind
    with site.register.read() as state:
        (name,) = state.values_of(kind, "tag" if kind is Joint else "name", [20])
    return name
