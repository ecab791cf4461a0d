"""What became of a delivery, as lines for a person."""

from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from shlex import quote

from jointmap.changes.load import LoadReport
from jointmap.wording import say, say_told
from jointmap.wording.problems import line_of, lines_of

MOST_TOLD = 6  # what is not answered yet: the rest shows once these are


def told(report: LoadReport, site: Path, *, dry_run: bool = False) -> Iterator[str]:
    """Yield what was taken, what was not, what is not answered yet, and what is next.

    Changes of rules come first, then kinds, then problems, then the counts.
    """
    yield from (line_of(t) for t in (*report.law, *report.roles))
    yield from _kinds(report)
    for line in lines_of(report.refused):
        yield f"refused  {line}"
    for line in lines_of(report.held):
        yield f"waiting  {line}"
    parts = [
        f"{sum(report.accepted.values())} new",
        f"{sum(report.revised.values())} corrected",
        say("load.unchanged", {"count": sum(report.unchanged.values())}),
        f"{len(report.held)} awaiting a decision",
        f"{len(report.refused)} refused",
    ]
    yield ", ".join(parts)
    yield from _unanswered(report)
    yield say(f"next.{_next(report, dry_run=dry_run)}", {"site": quote(str(site))})


def _unanswered(report: LoadReport) -> Iterator[str]:
    found = report.unanswered
    if found is not None and found.told:
        yield say("unanswered.head", {"joints": found.joints})
        yield from (f"  {say_told(told)}" for told in found.told[:MOST_TOLD])


def _next(report: LoadReport, *, dry_run: bool) -> str:
    """Return the id of the one command to type now: the first thing that is open."""
    found = report.unanswered
    steps = {
        "mend": bool(report.refused),
        "load": dry_run,
        "waiting": bool(report.held),
        "rules": found is not None and found.lacks_rules,
        "findings": found is not None and bool(found.told),
    }
    return next((step for step, is_open in steps.items() if is_open), "due")


def _kinds(report: LoadReport) -> Iterator[str]:
    """Yield which kinds of record came in, and how many of each."""
    for id_, counts in (("new", report.accepted), ("corrected", report.revised)):
        if counts:
            yield say(f"load.kinds_{id_}", {"kinds": _counted(counts)})


def _counted(counts: Counter[str]) -> str:
    return ", ".join(f"{n} {kind.replace('_', ' ')}" for kind, n in counts.items())
