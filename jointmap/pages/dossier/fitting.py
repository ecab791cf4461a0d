"""How the devices of a joint were fitted, for its dossier."""

from collections.abc import Iterator

from jointmap.assembly import Check, Result
from jointmap.pages.showing import Showing
from jointmap.pages.shown_values import facts_of
from jointmap.register import ABOUT_THE_ROW, Device, Installation, form_of
from jointmap.reports.views import Fact
from jointmap.reports.views_dossier import FittingCheck, InstallationView
from jointmap.wording import say
from jointmap.wording.fitting import LABELS

_NOT_FACTS = ("joint_id", "device_id", "fitted_on", "removed_on", "installed_on",
              "kind", "layout", "serial")  # fmt: skip
# What asks for a look stands first.
_ORDER = (
    Result.DOES_NOT_MEET,
    Result.NOT_RECORDED,
    Result.NOT_IN_TABLES,
    Result.MEETS,
)
_ASK = _ORDER[:2]


def fact_names(kind: type[Device | Installation]) -> list[str]:
    """Return the fields of a kind that are facts of the thing itself."""
    return [
        c.name
        for c in form_of(kind).columns
        if c.name not in (*_NOT_FACTS, *ABOUT_THE_ROW)
    ]


def installation_view(
    showing: Showing, record: Installation | None
) -> InstallationView | None:
    """Return how a device was fitted, with the review; None where not on record."""
    if record is None:
        return None
    checks = showing.checks_of(record)
    names = [n for n in fact_names(Installation) if not n.endswith("_id")]
    return InstallationView(
        installed_on=record.installed_on,
        facts=(*_people(showing, record), *facts_of(record, names)),
        flags=tuple(
            say(c.because, c.values) for c in checks if c.result is Result.DOES_NOT_MEET
        ),
        review=say("fitting.summary", _counts(checks)),
        checks=tuple(
            _row(c) for result in _ORDER for c in checks if c.result is result
        ),
        origin=record.origin,
    )


def _row(check: Check) -> FittingCheck:
    return FittingCheck(
        fact=LABELS[check.name],
        result=str(check.result),
        sentence=say(check.because, check.values),
        source=check.source,
        asks=check.result in _ASK,
    )


def _counts(checks: tuple[Check, ...]) -> dict[str, int]:
    found = [c.result for c in checks]
    return {
        "asked": len(found),
        "meets": found.count(Result.MEETS),
        "fails": found.count(Result.DOES_NOT_MEET),
        "blank": found.count(Result.NOT_RECORDED),
        "table": found.count(Result.NOT_IN_TABLES),
    }


def _people(showing: Showing, record: Installation) -> Iterator[Fact]:
    yield Fact("fitter", showing.person(record.fitter_id))
    yield Fact("witness", showing.person(record.witness_id))
