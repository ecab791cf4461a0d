"""What became of a delivery, as lines for a person."""

from collections.abc import Iterator

from jointmap.wording.problems import lines_of
from jointmap.workflows.load import LoadReport


def told(report: LoadReport) -> Iterator[str]:
    """Yield a line per problem, then one line of counts."""
    for line in lines_of(report.refused):
        yield f"refused  {line}"
    for line in lines_of(report.held):
        yield f"waiting  {line}"
    parts = [
        f"{sum(report.accepted.values())} new",
        f"{sum(report.revised.values())} corrected",
        f"{sum(report.unchanged.values())} known already",
        f"{len(report.held)} awaiting a decision",
        f"{len(report.refused)} refused",
    ]
    yield ", ".join(parts)
