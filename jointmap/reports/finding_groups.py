"""Findings by kind, in the fixed order of kinds."""

from collections.abc import Iterable

from jointmap.reports.views import Finding
from jointmap.wording.labels import FINDINGS


def by_kind(findings: Iterable[Finding]) -> list[tuple[str, tuple[Finding, ...]]]:
    """Return each kind that has findings with them; ``KeyError`` on an unknown kind."""
    found: dict[str, list[Finding]] = {kind: [] for kind in FINDINGS}
    for finding in findings:
        found[finding.kind].append(finding)
    return [(kind, tuple(several)) for kind, several in found.items() if several]


def without_finding(kinds: Iterable[str], findings: Iterable[Finding]) -> list[str]:
    """Return the ``kinds`` looked for of which nothing was found, in fixed order."""
    wanted = set(kinds) - {finding.kind for finding in findings}
    return sorted(wanted, key=list(FINDINGS).index)
