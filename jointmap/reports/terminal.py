"""Short renderings for a terminal: lines of text, and what a table is made of."""

import datetime as dt
import textwrap
from collections.abc import Iterator, Sequence

from jointmap.plain_text import visible
from jointmap.plain_text.shown import Block, Column, Row, Table, Title, Tone
from jointmap.register.codes import DueState
from jointmap.reports.fixed_words import DUE_STATES, label
from jointmap.reports.views import ClockRow, Frame, Sign, Step, TestRow
from jointmap.reports.views_dossier import Answer, Dossier, PathWhy, ToldTest, Why
from jointmap.reports.views_due import DueLine, DuePage
from jointmap.wording import say

WIDTH = 80
_TONES: dict[str, Tone] = {
    DueState.PAST_LIMIT: Tone.BAD,
    DueState.NEAR_LIMIT: Tone.NEAR,
    DueState.IN_TIME: Tone.GOOD,
}
_DUE_COLUMNS = (
    Column(say("terminal.last_allowed_day"), 10),
    Column(say("page.to_test"), 18),
    Column(say("page.basis"), 9),
    Column(say("page.because")),
)


def due_blocks(view: DuePage) -> Iterator[Block]:
    """Yield the due list for a person: counts, clocks, then the lines of each state."""
    yield _as_of(view.frame)
    yield Table.of(*_due_counts(view))
    yield ""
    if view.clocks:
        yield Table.of(*_clock_rows(view.clocks))
        yield ""
    yield Table.of(_DUE_COLUMNS, _due_rows(view))


def _due_rows(view: DuePage) -> Iterator[Row]:
    for state in DUE_STATES:
        lines = view.of_state(state)
        if lines:
            facts = {"state": state, "count": len(lines)}
            yield Title(say("terminal.of_state", facts), _TONES.get(state, Tone.NONE))
            yield from map(_due_row, lines)


def _due_counts(view: DuePage) -> tuple[list[Column], list[tuple[str, ...]]]:
    counts = (lambda s: len(view.of_state(s)), view.joints, view.others)
    heads = [say(f"terminal.{id_}") for id_ in ("state", "lines", "joints", "others")]
    columns = [Column(heads[0]), *(Column(h, 11, is_number=True) for h in heads[1:])]
    rows = [(s, *(str(count(s)) for count in counts)) for s in DUE_STATES]
    return columns, rows


def _clock_rows(
    clocks: Sequence[ClockRow],
) -> tuple[list[Column], list[tuple[str, ...]]]:
    ids = {"whose": 16, "what": 12, "until": 10, "clock_state": 16, "source": None}
    columns = [Column(say(f"terminal.{id_}"), most) for id_, most in ids.items()]
    rows: list[tuple[str, ...]] = [
        (row.whose.text, row.what, _date(row.until_on), row.state, row.source)
        for row in clocks
    ]
    return columns, rows


def _due_row(line: DueLine) -> tuple[str, ...]:
    """Return a line's cells; what one reading credits stands with what it is for."""
    tags = " ".join([line.subject.text, *_credited(line)])
    # Most sentences name their source already.
    source = f"[{line.source}]" if line.source not in line.because else ""
    because = " ".join(filter(None, [line.because, source, line.remark]))
    return _date(line.last_allowed_on), tags, line.basis, because


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
    gone = [say("path.taken_off", {"day": view.removed_on})] if view.removed_on else []
    return _lines(
        f"{visible(view.name)}  {_as_of(view.frame)}",
        *_wrapped(f"{view.kind}; {label('boundary')}: {view.boundary}"),
        *(line for text in gone for line in _wrapped(text)),
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
        *(line for test in view.tests for line in _short_test(test)),
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


def _credited(line: DueLine) -> Iterator[str]:
    """Yield which joints the reading of a line credits, each with its own state."""
    if line.credited:
        words = [
            f"{m.link.text} ({m.state.word}, {_date(m.last_allowed_on)})"
            for m in line.credited
        ]
        yield f"({label('same_reading')} {', '.join(words)})"


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


def _short_test(test: TestRow) -> list[str]:
    """Return a test without its reason: day, method, place, reading, verdict."""
    told = ", ".join(part for part in (test.method, test.what, test.reading) if part)
    return _wrapped(f"{told}: {test.verdict.word}", f"  {test.tested_on}  ")


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
