"""The next step of a joint, path or boundary is one, wherever it is told.

Asked of ``why``, ``findings NAME``, the dossier and its page, the boundary's page, the
due page: over all of the sample and of random small sites.
"""

import html
from collections import Counter

import pytest

from jointmap.findings.of_boundaries import repairs_not_proved
from jointmap.pages.asked import assessed
from jointmap.pages.boundary.as_text import boundary_lines
from jointmap.pages.boundary.page import boundaries_view, boundary_view
from jointmap.pages.dossier.page import one_of
from jointmap.pages.dossier.why import path_why, why_view
from jointmap.pages.due.page import due_page
from jointmap.pages.findings_shown import shown_findings
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.register.codes import Subject
from jointmap.reports import terminal
from jointmap.reports.every_report import REPORTS
from jointmap.snapshot.names.things_called import Called, things_called
from jointmap.workflows.findings_listed import findings_of
from jointmap.workflows.opening import open_site
from tests.opened_site import opened
from tests.properties.test_same_answer import ON, random_sheets

CALLED = {
    Subject.JOINT: lambda id_: Called((id_,), (), ()),
    Subject.BOUNDARY: lambda id_: Called((), (id_,), ()),
    Subject.PATH: lambda id_: Called((), (), (id_,)),
}
EVERY = 7  # of so many dossiers the page is made as well
PLAIN = ("Next: test ", "Next: adopt a rule", "Next: nothing is due")


def subjects(showing):
    yield from ((Subject.JOINT, id_, j.tag) for id_, j in showing.joints.items())
    yield from ((Subject.BOUNDARY, i, b.name) for i, b in showing.boundaries.items())
    yield from ((Subject.PATH, id_, p.name) for id_, p in showing.paths.items())


def squeezed(text):
    """A text without blanks and ends of lines: it may be wrapped at a hyphen, too."""
    return "".join(text.split())


def view_of(showing, tests, subject, id_):
    """What ``why`` is made of, and its text."""
    if subject is Subject.JOINT:
        view = why_view(showing, tests, id_)
        return view.answer, squeezed(terminal.why_text(view))
    if subject is Subject.PATH:
        view = path_why(showing, id_)
        return view, squeezed(terminal.path_text(view))
    view = boundary_view(showing, tests, id_, [])
    return view, squeezed(boundary_lines(view, terminal.WIDTH))


def steps(showing, tests, subject, id_):
    """What is told to be next, by where it is told; and the text of ``why``."""
    listed = findings_of(showing, CALLED[subject](id_), finders=())
    view, text = view_of(showing, tests, subject, id_)
    assert squeezed(view.next_step) in text
    told = {"findings": listed.next_steps[0], "why": view.next_step}
    if subject is Subject.JOINT:
        dossier = one_of(showing, tests, id_, finders=())
        told["dossier"] = dossier.next_step
        assert squeezed(dossier.next_step) in squeezed(
            REPORTS["dossier-text"].make(dossier)
        )
        if id_ % EVERY == 0:
            assert dossier.next_step in plain(REPORTS["dossier"].make(dossier))
    elif subject is Subject.BOUNDARY:
        assert view.next_step in plain(REPORTS["boundary"].make(view))
    return told, text


def plain(page):
    return html.unescape(page)


def of_due_page(showing):
    """The next step of each due line by the name of what it is made for."""
    return {line.subject.text: line.next_step for line in due_page(showing).lines}


def check(showing):
    tests, due, kinds = ShownTests(showing), of_due_page(showing), Counter()
    open_ = not_proved(showing, tests)
    for subject, id_, name in subjects(showing):
        told, text = steps(showing, tests, subject, id_)
        assert len(set(told.values())) == 1, (name, told)
        (step,) = set(told.values())
        assert step.startswith("Next: "), (name, step)
        # A line of the due list is itself the next test.
        assert due.get(name) in {None, "", step}, (name, due[name], step)
        assert due.get(name) != "" or step.startswith(PLAIN), (name, step)
        if subject is not Subject.PATH:
            own = (subject, id_) in open_
            assert ("repairnotproved" in text.lower()) == own, (name, text)
        kinds[step.split()[1]] += 1
    check_signs(showing, open_)
    return kinds


def not_proved(showing, tests):
    """What has a repair that no test proved, and the boundaries of such joints."""
    found = shown_findings(showing, tests, [repairs_not_proved]).found
    own = {(Subject.at(f.about.subject), f.about.id) for f in found}
    joints = [id_ for subject, id_ in own if subject is Subject.JOINT]
    return own | {(Subject.BOUNDARY, showing.joints[j].boundary_id) for j in joints}


def check_signs(showing, open_):
    """A repair not proved stands beside each sign of a verdict."""
    for line in boundaries_view(showing).rows:
        (id_,) = things_called(showing.assessed.state, line.name.text).boundaries
        assert bool(line.state.note) == ((Subject.BOUNDARY, id_) in open_), line
    for line in due_page(showing).lines:
        if line.is_joint:
            joint = showing.state.joint_ids[line.subject.text]
            assert bool(line.verdict.note) == ((Subject.JOINT, joint) in open_), line


def test_of_the_sample(demo):
    site = open_site(demo / "site")
    with assessed(site, ON, None) as (found, frame):
        kinds = check(Showing(found, frame))
    site.register.close()
    assert len(kinds) > 3


@pytest.mark.parametrize("part", range(4))
def test_of_random_sites(part, count, tmp_path):
    kinds = Counter()
    each = count(8, 200) // 4
    for seed in range(part * each, (part + 1) * each):
        site = opened(tmp_path / str(seed), random_sheets(seed))
        with assessed(site, ON, None) as (found, frame):
            kinds += check(Showing(found, frame))
        site.register.close()
    assert len(kinds) > 1
