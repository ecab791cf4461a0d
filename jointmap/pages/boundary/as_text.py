"""One boundary as text: its verdict, what it rests on, next step, what is known."""

from collections.abc import Iterator

from jointmap.reports.fixed_words import label
from jointmap.reports.terminal import Line, head, laid, told_lines, word
from jointmap.reports.views import PathRow
from jointmap.reports.views_boundary import BoundaryView, SuspectRow
from jointmap.wording import say


def boundary_lines(view: BoundaryView, width: int) -> str:
    """Return a boundary as text of a width."""
    return laid(width, *_verdict(view), *_known(view))


def _verdict(view: BoundaryView) -> Iterator[Line]:
    """Yield the verdict, the tests that it rests on and the next step."""
    yield "", head(view.name, view.frame)
    yield "", f"{label('verdict')}: {word(view.state)}. {view.statement}"
    yield "! ", view.state.note
    for told in view.rests_on:
        yield from told_lines(told)
    yield "", view.no_test
    yield "", view.next_step


def _known(view: BoundaryView) -> Iterator[Line]:
    yield "", f"{view.structure_a} | {view.structure_b}, {view.purpose}"
    yield "", _day("last_good", view.last_good_on or say("boundary.never_good"))
    if view.first_bad_on:
        good_on = view.last_good_on
        is_later = good_on is None or view.first_bad_on >= good_on
        word = "first_bad" if is_later else "bad_before"
        yield "", _day(word, view.first_bad_on)
    yield "", view.merged_sentence
    for clock in view.clocks:
        yield "  ", f"{clock.what} {clock.until_on}, {clock.state} ({clock.source})"
    yield from (("  ", c.unaccounted) for c in view.currents)
    yield from map(_suspect, view.suspects)
    yield from (("  ", sentence) for sentence in view.left_over)
    yield from _checks(view)
    yield from map(_path, view.paths)
    yield from (("  ! ", sentence) for sentence in view.findings)


def _day(id_: str, day: object) -> str:
    return say(f"boundary.{id_}", {"day": day})


def _suspect(suspect: SuspectRow) -> Line:
    speaks = " ".join((*suspect.speaks_for, *suspect.speaks_against))
    who = f"suspect {suspect.subject.text} ({suspect.kind})"
    return "  ", f"{who}, {suspect.chance}: {speaks}"


def _path(path: PathRow) -> Line:
    facts = {"name": path.name, "kind": path.kind, "state": path.state}
    id_ = "boundary.path_gone" if path.removed_on else "boundary.path"
    return "  ", say(id_, facts | {"day": path.removed_on})


def _checks(view: BoundaryView) -> Iterator[Line]:
    for place, check in enumerate(view.next_checks, start=1):
        told = f"{check.subject.text}: {check.check} ({check.minutes})"
        yield "  ", f"check {place}: {told}"
        yield from (("    ", s) for s in (check.held_back, check.conditions))
