"""What became of a delivery, as lines for a person."""

from collections.abc import Iterator

from jointmap.wording.problems import line_of
from jointmap.workflows.load import LoadReport


def told(report: LoadReport) -> Iterator[str]:
    """Yield a line per problem, then one line of counts."""
    for problem in report.refused:
        yield f"refused  {line_of(problem)}"
    for problem in report.held:
        yield f"waiting  {line_of(problem)}"
    parts = [
        f"{sum(report.accepted.values())} new",
        f"{sum(report.revised.values())} corrected",
        f"{sum(report.unchanged.values())} known already",
        f"{len(report.held)} awaiting a decision",
        f"{len(report.refused)} refused",
    ]
    yield ", ".join(parts)
