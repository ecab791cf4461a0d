"""Short renderings for a terminal: lines of text, and what a table is made of."""

import datetime as dt
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from typing import TypeAlias

from jointmap.plain_text import visible
from jointmap.plain_text.shown import Block, Column, Row, Table, Title, Tone
from jointmap.register.codes import DueState
from jointmap.reports.fixed_words import DUE_STATES, label
from jointmap.reports.views import ClockRow, Frame, Sign, Step, TestRow, ToldTest
from jointmap.reports.views_dossier import Answer, Dossier, LimitKept, PathWhy, Why
from jointmap.reports.views_due import DueLine, DuePage
from jointmap.wording import say

WIDTH = 80  # where nobody says how wide it is to be
Line: TypeAlias = tuple[str, str]  # what it starts with, and what is wrapped behind it
# What starts an item of a list without a mark; its further lines stand deeper.
ITEMS, INDENT = ("  ", "    "), 2
BREAK: Line = ("\n", "")
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


def why_text(why: Why, width: int = WIDTH) -> str:
    """Return the verdict and the date of one joint, step by step, with sources."""
    view, due = why.answer, why.answer.due
    day = f"{label('last_allowed_day')}: {_date(due.last_allowed_on)}. {due.because}"
    return laid(
        width,
        ("", head(view.tag, view.frame)),
        ("", f"{label('verdict')}: {word(view.verdict)}. {why.reason}"),
        *_flags([view.not_proved]),
        *(line for told in why.tests for line in told_lines(told)),
        *(("", line) for line in why.altered),
        ("", day),
        *map(_step, due.steps),
        *_clocks(view.clocks),
        *_flags(_broken(row) for row in due.limits if row.is_broken),
        *_fitting(view),
        ("", view.next_step),
    )


def path_text(view: PathWhy, width: int = WIDTH) -> str:
    """Return the state and the date of a parallel path, step by step, with sources."""
    due = view.due
    state = f"{label('state')}: {view.state}. {label('last_look')}: "
    day = f"{label('last_allowed_day')}: {_date(due.last_allowed_on)}. {due.because}"
    gone = say("path.taken_off", {"day": view.removed_on}) if view.removed_on else ""
    return laid(
        width,
        ("", head(view.name, view.frame)),
        ("", f"{state}{_date(view.checked_on)}"),
        ("", f"{view.kind}; {label('boundary')}: {view.boundary}"),
        ("", gone),
        *(line for told in view.tests for line in told_lines(told)),
        ("", view.no_test),
        ("", day),
        *map(_step, due.steps),
        ("", view.next_step),
    )


def told_lines(told: ToldTest) -> Iterator[Line]:
    """Yield why a test is told, and the test."""
    yield "", told.heading
    yield _test(told.row)
    yield "  ", told.row.papers


def _flags(sentences: Iterable[str]) -> Iterator[Line]:
    return (("! ", sentence) for sentence in sentences if sentence)


def _broken(limit: LimitKept) -> str:
    facts = {"limit": limit.limit_on, "how": limit.how, "source": limit.source}
    return say("terminal.limit_broken", facts)


def _fitting(view: Answer) -> Iterator[Line]:
    """Yield lines on the fitting in place now: what asks for a look, and the count."""
    fitted = (d.installation for d in view.devices if d.is_fitted)
    paper = next(fitted, None)
    if paper is None:
        return
    for row in paper.checks:
        if row.asks:
            source = f" [{row.source}]" if row.source else ""
            yield "! ", f"{row.sentence}{source}"
    yield "", paper.review


def dossier_text(view: Dossier, width: int = WIDTH) -> str:
    """Return the short form of a dossier: what matters most, then the last tests."""
    place, missing = view.place, "; ".join(view.missing)
    foot = label(
        "text_foot", entry=view.frame.entry, fingerprint=view.frame.fingerprint
    )
    return laid(
        width,
        ("", head(view.tag, view.frame)),
        ("", view.summary),
        *_flags(view.findings),
        ("", view.next_step),
        BREAK,
        (
            "",
            f"{label('boundary')}: {_or_none(place.boundary.text)}, "
            f"{word(place.boundary_state)}",
        ),
        ("", f"{label('side_a')}: {_or_none(place.structure_a)}"),
        ("", f"{label('side_b')}: {_or_none(place.structure_b)}"),
        (
            "",
            f"{label('last_allowed_day')}: {_date(view.due.last_allowed_on)}, "
            f"{view.due.state.word}",
        ),
        *_clocks(view.clocks),
        BREAK,
        ("", f"{label('tests')}: {len(view.tests)}"),
        *map(_short_test, view.tests),
        BREAK,
        ("", f"{label('missing')}: {missing or label('nothing_missing')}"),
        ("", foot),
    )


def _clocks(rows: tuple[ClockRow, ...]) -> Iterator[Line]:
    """Yield a line for each clock after a bad result."""
    for row in rows:
        until = _date(row.until_on)
        yield "* ", f"{row.whose.text}: {row.what} {until}, {row.state} [{row.source}]"


def _credited(line: DueLine) -> Iterator[str]:
    """Yield which joints the reading of a line credits, each with its own state."""
    if line.credited:
        words = [
            f"{m.link.text} ({m.state.word}, {_date(m.last_allowed_on)})"
            for m in line.credited
        ]
        yield f"({label('same_reading')} {', '.join(words)})"


def _test(test: TestRow) -> Line:
    source = "; ".join(part for part in (test.limit, test.source) if part)
    does_not = "" if test.counts else f" ({label('does_not_count')})"
    text = f"{test.method}: {test.verdict.word}{does_not}. {test.reason}"
    return f"  {test.tested_on.isoformat()}  ", f"{text} [{source}]" if source else text


def _step(step: Step) -> Line:
    source = ", ".join(part for part in (step.source, step.mark) if part)
    on = f"{step.on.isoformat()}  " if step.on else " " * 12
    text = f"{step.sentence} [{source}]" if source else step.sentence
    return ("> " if step.governs else "  ") + on, text


def _short_test(test: TestRow) -> Line:
    """Return a test without its reason: day, method, place, reading, verdict."""
    told = ", ".join(part for part in (test.method, test.what, test.reading) if part)
    papers = "" if test.papers_sound else f". {test.papers}"
    return f"  {test.tested_on}  ", f"{told}: {test.verdict.word}{papers}"


def head(name: str, frame: Frame) -> str:
    """Return the first line of an answer: what it is of, and as of which day."""
    return f"{name}  {_as_of(frame)}"


def _as_of(frame: Frame) -> str:
    return label("as_of", on=frame.on, known=frame.known)


def laid(width: int, *lines: Line) -> str:
    """Return lines wrapped to a width, further ones under the first; none for blank."""
    told = (
        wrapped
        for start, text in lines
        if text or (start, text) == BREAK
        for wrapped in _wrapped(start, text, width)
    )
    return "".join(f"{line}\n" for line in told)


def _wrapped(start: str, text: str, width: int) -> list[str]:
    further = " " * (len(start) + (INDENT if start in ITEMS else 0))
    wrap = textwrap.wrap(
        visible(text), width, initial_indent=start, subsequent_indent=further
    )
    return wrap or [""]


def _date(value: dt.date | None) -> str:
    return value.isoformat() if value else label("no_date")


def word(sign: Sign) -> str:
    """Return the word of a verdict or a due state."""
    return sign.word or label("no_verdict")


def _or_none(text: str) -> str:
    return text or label("not_on_record")
