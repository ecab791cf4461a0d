"""The limits that ran for a subject, as a page shows them."""

from jointmap.assessment.limits_told import how_kept
from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.intervals import citation
from jointmap.register.codes import Subject
from jointmap.reports.views_dossier import LimitKept
from jointmap.wording import say_told


def limit_rows(site: SiteOnDay, subject: Subject, id_: int) -> tuple[LimitKept, ...]:
    """Return every limit that ran for a subject, the newest first."""
    held = site.limits.of(subject, id_)
    days = zip(held.from_on.tolist(), held.limit_on.tolist(), strict=True)
    rules = [site.rule(id_) for id_ in held.rule_id.tolist()]
    rows = [
        LimitKept(
            from_on=from_on,
            limit_on=limit_on,
            how=say_told(how_kept(site, held, n)),
            basis=str(rule.basis),
            source=citation(rule),
            is_broken=bool(held.is_broken[n]),
        )
        for n, ((from_on, limit_on), rule) in enumerate(zip(days, rules, strict=True))
    ]
    return tuple(reversed(rows))
