"""Findings by gravity and by kind."""

from collections.abc import Callable, Iterable

from jointmap.reports.views import Finding

Groups = list[tuple[str, tuple[Finding, ...]]]


def by_kind(findings: Iterable[Finding]) -> Groups:
    """Return each kind with its findings by subject, in the order in which it comes."""
    return _grouped(findings, lambda f: f.kind)


def by_gravity(findings: Iterable[Finding]) -> Groups:
    """Return each gravity with its findings by subject, in the order in which it comes.

    Findings come the gravest first, so the groups do.
    """
    return _grouped(findings, lambda f: f.gravity)


def _grouped(findings: Iterable[Finding], name: Callable[[Finding], str]) -> Groups:
    found: dict[str, list[Finding]] = {}
    for finding in findings:
        found.setdefault(name(finding), []).append(finding)
    return [(n, tuple(sorted(fs, key=_subject))) for n, fs in found.items()]


def _subject(finding: Finding) -> str:
    return finding.subject.text


def without_finding(kinds: Iterable[str], findings: Iterable[Finding]) -> list[str]:
    """Return the ``kinds`` looked for of which nothing was found, in their order."""
    found = {finding.kind for finding in findings}
    return [kind for kind in kinds if kind not in found]
