"""Short plain-text renderings for a terminal; lines of text, no colour."""

import datetime as dt
import textwrap
from collections.abc import Iterator

from jointmap.plain_text import visible
from jointmap.reports.fixed_words import DUE_STATES, label
from jointmap.reports.views import ClockRow, Frame, Sign, Step, TestRow
from jointmap.reports.views_dossier import Answer, Dossier, PathWhy, ToldTest, Why
from jointmap.reports.views_due import DueLine, DuePage

WIDTH = 100
TAGS_WIDTH = 40


def due_text(view: DuePage) -> str:
    """Return the due list as a table, one line a row, counts first."""
    counts = [
        _counts("lines", {s: len(view.of_state(s)) for s in DUE_STATES}),
        _counts("joints", {s: view.joints(s) for s in DUE_STATES}),
        _counts("others", {s: view.others(s) for s in DUE_STATES}),
    ]
    lines = [line for s in DUE_STATES for line in view.of_state(s)]
    rows = [row for line in lines for row in _due_rows(line)]
    ids = ("last_allowed_day", "due_state", "to_test", "basis", "because")
    heads = tuple(label(id_) for id_ in ids)
    clocks = _clocks(view.clocks)
    return _lines(_as_of(view.frame), *counts, *clocks, "", *_table(heads, rows))


def why_text(why: Why) -> str:
    """Return the verdict and the date of one joint, step by step, with sources."""
    view, due = why.answer, why.answer.due
    day = f"{label('last_allowed_day')}: {_date(due.last_allowed_on)}. {due.because}"
    return _lines(
        f"{visible(view.tag)}  {_as_of(view.frame)}",
        *_wrapped(f"{label('verdict')}: {_word(view.verdict)}. {why.reason}"),
        *(line for told in why.tests for line in _told(told)),
        *_wrapped(day),
        *(line for step in due.steps for line in _step(step)),
        *_clocks(view.clocks),
        *(line for missed in due.missed for line in _wrapped(missed, "! ")),
        *_fitting(view),
        *_wrapped(why.next_step),
    )


def path_text(view: PathWhy) -> str:
    """Return the state and the date of a parallel path, step by step, with sources."""
    due = view.due
    state = f"{label('state')}: {view.state}. {label('last_look')}: "
    day = f"{label('last_allowed_day')}: {_date(due.last_allowed_on)}. {due.because}"
    return _lines(
        f"{visible(view.name)}  {_as_of(view.frame)}",
        *_wrapped(f"{view.kind}; {label('boundary')}: {view.boundary}"),
        *_wrapped(f"{state}{_date(view.checked_on)}"),
        *_wrapped(day),
        *(line for step in due.steps for line in _step(step)),
        *_wrapped(view.next_step),
    )


def _told(told: ToldTest) -> list[str]:
    return [*_wrapped(told.heading), *_test(told.row)]


def _fitting(view: Answer) -> Iterator[str]:
    """Yield lines on the fitting in place now: what asks for a look, and the count."""
    fitted = (d.installation for d in view.devices if d.is_fitted)
    paper = next(fitted, None)
    if paper is None:
        return
    for row in paper.checks:
        if row.asks:
            source = f" [{row.source}]" if row.source else ""
            yield from _wrapped(f"{row.sentence}{source}", "! ")
    if paper.review:
        yield from _wrapped(paper.review)


def dossier_text(view: Dossier) -> str:
    """Return the short form of a dossier: what matters most, then the last tests."""
    place, missing = view.place, visible("; ".join(view.missing))
    return _lines(
        f"{visible(view.tag)}  {_as_of(view.frame)}",
        *_wrapped(view.summary),
        *(line for finding in view.findings for line in _wrapped(finding, "! ")),
        "",
        f"{label('boundary')}: {_or_none(place.boundary.text)}, "
        f"{_word(place.boundary_state)}",
        f"{label('side_a')}: {_or_none(place.structure_a)}",
        f"{label('side_b')}: {_or_none(place.structure_b)}",
        f"{label('last_allowed_day')}: {_date(view.due.last_allowed_on)}, "
        f"{view.due.state.word}",
        *_clocks(view.clocks),
        "",
        f"{label('tests')}: {len(view.tests)}",
        *_table(
            (),
            [
                (t.tested_on.isoformat(), t.method, t.what, t.reading, t.verdict.word)
                for t in view.tests
            ],
        ),
        "",
        f"{label('missing')}: {missing or label('nothing_missing')}",
        label("text_foot", entry=view.frame.entry, fingerprint=view.frame.fingerprint),
    )


def _clocks(rows: tuple[ClockRow, ...]) -> Iterator[str]:
    """Yield a line for each clock after a bad result."""
    for row in rows:
        until = _date(row.until_on)
        text = f"{row.whose.text}: {row.what} {until}, {row.state} [{row.source}]"
        yield from _wrapped(text, "* ")


def _counts(unit: str, by_state: dict[str, int]) -> str:
    told = ", ".join(f"{state} {count}" for state, count in by_state.items())
    return f"{label(unit)}: {told}"


def _credited(line: DueLine) -> Iterator[str]:
    """Yield which joints the reading of a line credits, each with its own state."""
    if line.credited:
        words = [
            f"{m.link.text} ({m.state.word}, {_date(m.last_allowed_on)})"
            for m in line.credited
        ]
        text = f"{label('same_reading')} {', '.join(words)}"
        yield from textwrap.wrap(text, TAGS_WIDTH)


def _due_rows(line: DueLine) -> Iterator[tuple[str, ...]]:
    """Yield the row of a line, and one more for each further row of tags or words."""
    because = f"{line.because} [{line.source}]" if line.source else line.because
    tags = [line.subject.text, *_credited(line)]
    words = [because, *filter(None, [line.remark])]
    day = (_date(line.last_allowed_on), line.state.word, line.basis)
    for n in range(max(len(tags), len(words))):
        on, state, basis = day if n == 0 else ("", "", "")
        more = [cells[n] if n < len(cells) else "" for cells in (tags, words)]
        yield on, state, more[0], basis, more[1]


def _test(test: TestRow) -> list[str]:
    source = "; ".join(part for part in (test.limit, test.source) if part)
    does_not = "" if test.counts else f" ({label('does_not_count')})"
    text = f"{test.method}: {test.verdict.word}{does_not}. {test.reason}"
    start = f"  {test.tested_on.isoformat()}  "
    return _wrapped(f"{text} [{source}]" if source else text, start)


def _step(step: Step) -> Iterator[str]:
    source = ", ".join(part for part in (step.source, step.mark) if part)
    on = f"{step.on.isoformat()}  " if step.on else " " * 12
    text = f"{step.sentence} [{source}]" if source else step.sentence
    yield from _wrapped(text, ("> " if step.governs else "  ") + on)


def _table(heads: tuple[str, ...], rows: list[tuple[str, ...]]) -> Iterator[str]:
    """Yield rows with all columns but the last padded to their widest cell."""
    everything = [tuple(map(visible, r)) for r in ([heads, *rows] if heads else rows)]
    widths = [max(map(len, column)) for column in zip(*everything, strict=True)]
    for cells in everything:
        padded = (c.ljust(w) for c, w in zip(cells, widths, strict=True))
        yield "  ".join(padded).rstrip()


def _as_of(frame: Frame) -> str:
    return label("as_of", on=frame.on, known=frame.known)


def _wrapped(text: str, start: str = "") -> list[str]:
    return textwrap.wrap(
        visible(text), WIDTH, initial_indent=start, subsequent_indent=" " * len(start)
    )


def _date(value: dt.date | None) -> str:
    return value.isoformat() if value else label("no_date")


def _word(sign: Sign) -> str:
    return sign.word or label("no_verdict")


def _or_none(text: str) -> str:
    return visible(text) or label("not_on_record")


def _lines(*lines: str) -> str:
    return "\n".join(lines) + "\n"
