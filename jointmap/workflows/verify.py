"""Verify a site: chain, rows, attached files, a fingerprint kept elsewhere."""

from dataclasses import dataclass

from jointmap.storage.checking import Checked, check_register
from jointmap.wording import say
from jointmap.wording.problems import line_of
from jointmap.workflows.site_folder import SiteFolder


@dataclass(frozen=True, slots=True)
class VerifyReport:
    """The lines to show, and whether all is sound."""

    lines: tuple[str, ...]
    is_sound: bool


def lines_of(checked: Checked) -> tuple[str, ...]:
    """Return a line for each problem, and what to do."""
    lines = [line_of(problem) for problem in checked.problems]
    return (*lines, say("verify.broken", {"count": len(lines)}))


def verify_site(site: SiteFolder, against: str | None = None) -> VerifyReport:
    """Go through a whole register; raises ``WrongUse`` for a malformed fingerprint."""
    checked = check_register(site.register, site.path, against)
    if checked.problems:
        return VerifyReport(lines_of(checked), is_sound=False)
    facts = {
        "entries": checked.entries,
        "rows": checked.rows,
        "fingerprint": checked.fingerprint,
    }
    lines = [say("verify.sound" if checked.entries else "verify.empty", facts)]
    if against is not None:
        lines.append(say("verify.held", {"fingerprint": against}))
    return VerifyReport(tuple(lines), is_sound=True)
