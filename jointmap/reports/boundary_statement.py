"""The boundary statement: one page for operations, as HTML and as PDF."""

from collections.abc import Iterator, Mapping

from jointmap.reports.fixed_words import label
from jointmap.reports.rendering import render
from jointmap.reports.typesetting import pdf_of
from jointmap.reports.views_boundary import BoundaryView

TEMPLATE = "boundary_statement.typ"
# One page holds so many; the boundary's own page has them all.
MOST_SUSPECTS, MOST_CHECKS, MOST_MERGED = 6, 5, 8
_WORDS = ("statement_of_boundary", "since_when", "last_good", "first_bad", "purpose",
          "one_metal_now", "suspects", "next_checks", "clocks", "section_current",
          "side_a", "side_b", "nothing_merged", "advises",
          "issued_by", "not_on_record")  # fmt: skip


def statement_page(view: BoundaryView) -> str:
    """Return the statement as an HTML page that prints on one A4 sheet."""
    return render("boundary_statement.html", view)


def statement_pdf(view: BoundaryView) -> bytes:
    """Return the statement as PDF, one A4 page, black and white."""
    return pdf_of(TEMPLATE, _plain(view))


def _plain(view: BoundaryView) -> Mapping[str, object]:
    frame = view.frame
    return {
        "words": {id_: label(id_) for id_ in _WORDS},
        "heading": f"{frame.site}, {frame.on.isoformat()}. {frame.training}",
        "foot": f"{label('fingerprint', entry=frame.entry)} {frame.fingerprint[:16]}",
        "name": view.name,
        "state": view.state.word,
        "statement": view.statement,
        "purpose": view.purpose,
        "sides": [view.structure_a, view.structure_b],
        "last_good": _day(view.last_good_on, "never_good"),
        "first_bad": _day(view.first_bad_on),
        "merged_sentence": view.merged_sentence,
        "merged": [
            [m.structure, m.area, ", ".join(m.sources)]
            for m in view.merged[:MOST_MERGED]
        ],
        "suspects": list(_suspects(view)),
        "none_suspected": view.none_suspected or label("no_suspects"),
        "left_over": list(view.left_over),
        "checks": [
            f"{c.subject.text}: {c.check} ({c.minutes}). {c.held_back}"
            for c in view.next_checks[:MOST_CHECKS]
        ],
        "clocks": [[c.what, _day(c.until_on), c.state, c.source] for c in view.clocks],
        "currents": [
            [c.structure, c.measured, c.design, c.unaccounted] for c in view.currents
        ],
        "diagram": view.diagram,
    }


def _suspects(view: BoundaryView) -> Iterator[list[str]]:
    for row in view.suspects[:MOST_SUSPECTS]:
        said = " ".join((*row.speaks_for, *row.speaks_against))
        yield [row.subject.text, row.kind, row.chance, said]


def _day(value: object, missing: str = "not_on_record") -> str:
    return label(missing) if value is None else str(value)
