"""What became of a delivery, as lines for a person."""

from collections import Counter
from collections.abc import Iterator

from jointmap.changes.load import LoadReport
from jointmap.wording import say
from jointmap.wording.problems import line_of, lines_of


def told(report: LoadReport) -> Iterator[str]:
    """Yield changes of rules first, then kinds, then problems, then the counts."""
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


def _kinds(report: LoadReport) -> Iterator[str]:
    """Yield which kinds of record came in, and how many of each."""
    for id_, counts in (("new", report.accepted), ("corrected", report.revised)):
        if counts:
            yield say(f"load.kinds_{id_}", {"kinds": _counted(counts)})


def _counted(counts: Counter[str]) -> str:
    return ", ".join(f"{n} {kind.replace('_', ' ')}" for kind, n in counts.items())
