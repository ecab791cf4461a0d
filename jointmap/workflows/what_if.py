"""What a changed target, cap, rule or method would do; nothing is saved."""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from jointmap.assessment.assess import Assessment
from jointmap.assessment.lives import Lives, read_lives
from jointmap.assessment.risk import modelled, site_risk
from jointmap.assessment.trends import read_series
from jointmap.due_list import build
from jointmap.errors import Problem, WrongUse
from jointmap.hazard.ages import LifeEvents
from jointmap.hazard.candidates import risk_of
from jointmap.hazard.failure_model import (
    DEFAULT_PRIOR,
    NO_DATA,
    FailureModel,
    default_prior,
)
from jointmap.hazard.outlook import average_hidden
from jointmap.intervals import Candidates, DueItems
from jointmap.intervals.rules import rows_under
from jointmap.pages.asked import assessed
from jointmap.pages.due.page import subject_links
from jointmap.pages.showing import Showing
from jointmap.plain_text import lines_text
from jointmap.register.codes import Basis, Consequence, DueState
from jointmap.register.columns import Floats, RuleColumns
from jointmap.sites.site_folder import SiteFolder
from jointmap.tables.risk import METHOD_ERRORS, MethodErrors
from jointmap.wording import say

DAYS_A_YEAR = 365.25
MOST_SHOWN = 20


@dataclass(frozen=True, slots=True)
class Changes:
    """What is asked; each by its name: consequence class, rule, method."""

    targets: Mapping[str, float] = field(default_factory=dict)
    caps: Mapping[str, int] = field(default_factory=dict)
    months: Mapping[str, int] = field(default_factory=dict)
    without: tuple[str, ...] = ()
    methods: Mapping[str, str] = field(default_factory=dict)

    @property
    def of_model(self) -> bool:
        """Whether a failure model must be asked."""
        return bool(self.targets or self.caps or self.methods)

    @property
    def is_none(self) -> bool:
        """Whether nothing was asked."""
        return not (self.of_model or self.months or self.without)


@dataclass(frozen=True, slots=True)
class _Case:
    """Due dates under one set of rules and one model, and what they leave hidden."""

    items: DueItems
    candidates: Candidates
    hidden: Floats  # per life; NaN where it has no next test

    def tests_a_year(self) -> float:
        """Return how many tests a year the intervals ask for, were each kept."""
        some = ~np.isnat(self.items.last_allowed_on)
        chosen = self.candidates.take(self.items.governing[some])
        days = (chosen.last_allowed_on - chosen.from_on).astype(np.int64)
        return float(np.sum(DAYS_A_YEAR / np.maximum(days, 1)))


def what_if_text(
    site: SiteFolder,
    changes: Changes,
    *,
    on: dt.date,
    known: dt.date | None,
    most: int | None = MOST_SHOWN,
) -> str:
    """Return what ``changes`` would do; raises ``WrongUse`` for names that are none.

    Of the dates that move the first ``most`` are listed, or all.
    """
    if changes.is_none:
        raise WrongUse(Problem("what_if.nothing"))
    with assessed(site, on, known) as (found, frame):
        source, base = base_model(found)
        lives, events = lives_under(found, base)
        model = changed_model(base, changes)
        in_force = found.risk is not None
        before = _case(found, found.ground.rules, base, lives, events, in_force)
        rules, in_force = changed_rules(found, changes), in_force or changes.of_model
        after = _case(found, rules, model, lives, events, in_force)
        lines = [say("what_if.model", {"source": source})]
        lines += _without_joints(lives, changes)
        lines += _without_subjects(found, changes)
        lines += _compared(Showing(found, frame), before, after, most)
    return lines_text([*lines, say("what_if.saved")])


def _without_joints(lives: Lives, changes: Changes) -> Iterator[str]:
    """Yield each asked consequence class that no joint has."""
    held = {int(c) for c in np.unique(lives.columns.consequence)}
    for name in sorted({*changes.targets, *changes.caps}):
        known = [str(c) for c in Consequence]
        if name in known and known.index(name) not in held:
            yield say("what_if.empty_class", {"consequence": name})


def _without_subjects(found: Assessment, changes: Changes) -> Iterator[str]:
    """Yield each asked rule that applies to nothing."""
    own, rules = _rules_by_name(found), found.ground.rules
    for name in sorted({*changes.months, *changes.without} & own.keys()):
        (row,) = np.flatnonzero(rules.rule_id == own[name])
        if not len(rows_under(found.subjects, rules, int(row))):
            yield say("what_if.empty_rule", {"rule": name})


def base_model(found: Assessment) -> tuple[str, FailureModel]:
    """Return what the model in force is called, and the model; else the default's."""
    if found.risk is not None:
        return found.risk.source, found.risk.model
    return f"{DEFAULT_PRIOR}: {NO_DATA}", default_prior()


def lives_under(found: Assessment, model: FailureModel) -> tuple[Lives, LifeEvents]:
    """Return the joints' lives in the classes of ``model``, and their events."""
    ground, tests = found.ground, found.tests
    lives, events = read_lives(ground, tests, found.subjects, found.counting)
    return modelled(model, lives, events), events


def _learned(
    found: Assessment, model: FailureModel, lives: Lives, events: LifeEvents
) -> Candidates:
    on, rows = found.ground.on, lives.subject_row
    risk = risk_of(model, lives.columns, events, rows, on)
    series = read_series(found.ground, found.tests, found.judgements)
    _, dates = site_risk("", model, [(lives, risk)], series, found.subjects)
    return dates


def _case(
    found: Assessment,
    rules: RuleColumns,
    model: FailureModel,
    lives: Lives,
    events: LifeEvents,
    in_force: bool,
) -> _Case:
    items, candidates = build(
        found.subjects,
        found.history,
        found.triggers,
        rules,
        found.on,
        found.ground.site.margin_days,
        found.ground.site.near_limit_days,
        _learned(found, model, lives, events) if in_force else None,
    )
    until_on = np.full(len(found.subjects), np.datetime64("NaT", "D"))
    until_on[items.row] = np.fmax(items.last_allowed_on, found.ground.on)
    hidden = average_hidden(model, lives.columns, events, until_on[lives.subject_row])
    return _Case(items, candidates, hidden)


def changed_model(model: FailureModel, changes: Changes) -> FailureModel:
    """Return ``model`` with other targets, caps or error tables.

    The average's target follows the end's, at the same ratio.
    """
    known = {t.consequence: t for t in model.targets}
    for name in [*changes.targets, *changes.caps]:
        if name not in known:
            facts = {"consequence": name, "known": ", ".join(known)}
            raise WrongUse(Problem("what_if.no_class", facts))
    for name, end in changes.targets.items():
        old = known[name]
        mean = old.average_chance * end / old.end_chance
        known[name] = replace(old, end_chance=end, average_chance=mean)
    for name, months in changes.caps.items():
        known[name] = replace(known[name], cap_months=months)
    return replace(
        model, targets=tuple(known.values()), errors=_changed_errors(model, changes)
    )


def _changed_errors(model: FailureModel, changes: Changes) -> tuple[MethodErrors, ...]:
    tables = {e.method: e for e in model.errors}
    for name, like in changes.methods.items():
        for asked in (name, like):
            if asked not in tables:
                facts = {"method": asked, "known": ", ".join(METHOD_ERRORS)}
                raise WrongUse(Problem("what_if.no_method", facts))
        tables[name] = replace(tables[like], method=name)
    return tuple(tables.values())


def changed_rules(found: Assessment, changes: Changes) -> RuleColumns:
    """Return the rules in force with other months, or without some."""
    own, rules = _rules_by_name(found), found.ground.rules
    for name in [*changes.months, *changes.without]:
        if name not in own:
            facts = {"rule": name, "known": ", ".join(sorted(own))}
            raise WrongUse(Problem("what_if.no_rule", facts))
    months = rules.months.copy()
    for name, value in changes.months.items():
        months[rules.rule_id == own[name]] = value
    gone = [own[name] for name in changes.without]
    return replace(rules, months=months).take(~np.isin(rules.rule_id, gone))


def _rules_by_name(found: Assessment) -> dict[str, int]:
    """Return the id of each rule in force."""
    names = {r.name: id_ for id_, r in found.state.rules.items()}
    return {n: i for n, i in names.items() if i in found.ground.rules.rule_id}


def _compared(
    showing: Showing, before: _Case, after: _Case, most: int | None
) -> Iterator[str]:
    tests = (before.tests_a_year(), after.tests_a_year())
    facts = {"before": tests[0], "after": tests[1], "change": tests[1] - tests[0]}
    yield say("what_if.tests", facts)
    hidden = [float(np.nansum(c.hidden)) for c in (before, after)]
    facts = {"before": hidden[0], "after": hidden[1], "change": hidden[1] - hidden[0]}
    yield say("what_if.hidden", facts)
    old, new = before.items.last_allowed_on, after.items.last_allowed_on
    far = np.datetime64("9999-12-31")
    old, new = (np.where(np.isnat(d), far, d) for d in (old, new))
    moved = {
        "earlier": int(np.sum(new < old)),
        "later": int(np.sum(new > old)),
        "same": int(np.sum(new == old)),
    }
    yield say("what_if.moved", moved)
    rows = np.flatnonzero(new != old)[:most].tolist()
    count = moved["earlier"] + moved["later"]
    if len(rows) < count:
        yield say("what_if.some", {"shown": len(rows), "count": count})
    for row in rows:
        code = int(after.items.basis[row])
        (link,) = subject_links(showing, [row])
        none = say("page.no_date")
        days = [none if d == far else str(d) for d in (old[row], new[row])]
        basis = str(Basis.at(code) if code >= 0 else DueState.NO_BASIS)
        one = {"name": link.text, "before": days[0], "after": days[1], "basis": basis}
        yield say("what_if.one", one)
