"""The index, the findings, the values awaiting decision, the rules in force."""

import json
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from jointmap.findings.every_finding import ALL_FINDERS, kinds_of
from jointmap.findings.of_held import held_about
from jointmap.intervals import citation
from jointmap.pages.findings_shown import link_to
from jointmap.pages.showing import Showing, verdict_sign
from jointmap.pages.shown_tests import limit_value
from jointmap.register import Held, Limit, Rule
from jointmap.register.codes import DueState, Verdict
from jointmap.register.rule_codes import MAY_STATE, SIDE_LOST, RuleShape
from jointmap.reports.views import Finding, Link, Sign
from jointmap.reports.views_due import DuePage
from jointmap.reports.views_overview import (
    Changed,
    Door,
    FindingsPage,
    HeldPage,
    HeldRow,
    IndexPage,
    LimitRow,
    RuleRow,
    SourcesPage,
    WayIn,
)
from jointmap.snapshot.waiting import open_held
from jointmap.tables import METHODS
from jointmap.wording import say

_METHODS = {m.code: m.label for m in METHODS}
LOOKED_FOR = tuple(kind.id for kind in kinds_of(ALL_FINDERS))


def index_view(
    showing: Showing,
    due: DuePage,
    findings: Sequence[Finding],
    months: Sequence[str],
    changed: Changed | None = None,
) -> IndexPage:
    """Return the first page; every count equals the list its link opens."""
    facts = {
        "joints": len(showing.joints),
        "boundaries": len(showing.boundaries),
        "findings": len(findings),
    }
    return IndexPage(
        frame=showing.frame,
        summary=say("index.summary", facts),
        doors=tuple(_doors(showing, due, findings, months)),
        changed=changed,
        findings=tuple(findings),
        looked_for=LOOKED_FOR,
        verdict_counts=tuple(_verdict_counts(showing)),
    )


def _doors(
    showing: Showing,
    due: DuePage,
    findings: Sequence[Finding],
    months: Sequence[str],
) -> Iterator[Door]:
    kinds = Counter(f.kind for f in findings)
    yield Door(
        user="integrity_engineer",
        ways=(
            _way("map", "map.html", len(showing.joints), "joints"),
            _way(
                "boundaries",
                "boundaries/index.html",
                len(showing.boundaries),
                "boundaries",
            ),
            _of_kind("shorted", "boundary_shorted", kinds, "boundaries"),
            _way("findings", "findings.html", len(findings), "findings"),
            _way("predicted", "predicted.html", None),
        ),
    )
    late = DueState.PAST_LIMIT
    facts = {"joints": due.joints(late), "others": due.others(late)}
    past = _way("late", "due.html#past-the-limit", len(due.of_state(late)), "lines")
    yield Door(
        user="planner",
        ways=(
            _way("due", "due.html", len(due.lines), "lines"),
            replace(past, sentence=say("way.late_of", facts)),
            *(_month(name) for name in months),
        ),
    )
    held = len(open_held(showing.state))
    yield Door(
        user="auditor",
        ways=(
            _way("dossiers", "dossiers/index.html", len(showing.joints), "joints"),
            _of_kind("missed", "missed_year", kinds, "findings"),
            _of_kind("lapsed", "instrument_lapsed", kinds, "tests"),
            _way("held", "held.html", held, "values"),
            _way("sources", "sources.html", None),
        ),
    )


def _way(name: str, href: str, count: int | None, unit: str = "") -> WayIn:
    return WayIn(link=Link(say(f"way.{name}"), href), count=count, unit=unit)


def _of_kind(name: str, kind: str, kinds: Counter[str], unit: str) -> WayIn:
    # Of what there is none the list has no place to lead to.
    place = f"findings.html#{kind}" if kinds[kind] else "findings.html"
    return _way(name, place, kinds[kind], unit)


def _month(name: str) -> WayIn:
    return WayIn(
        link=Link(say("way.month", {"month": name}), f"months/{name}/index.html")
    )


def _verdict_counts(showing: Showing) -> Iterator[tuple[Sign, int]]:
    verdicts = showing.assessed.joints.verdict
    for verdict in Verdict:
        count = int((verdicts == verdict.code).sum())
        yield verdict_sign(verdict.code), count


def findings_view(showing: Showing, findings: Sequence[Finding]) -> FindingsPage:
    """Return the page of all findings."""
    return FindingsPage(
        frame=showing.frame, findings=tuple(findings), looked_for=LOOKED_FOR
    )


def held_view(showing: Showing) -> HeldPage:
    """Return the page of values awaiting decision."""
    found = open_held(showing.state)
    rows = tuple(_held_row(showing, number, held) for number, held in found)
    return HeldPage(frame=showing.frame, rows=rows, how_to=say("held.how"))


def _held_row(showing: Showing, number: int, held: Held) -> HeldRow:
    return HeldRow(
        number=number,
        subject=link_to(showing, held_about(showing, held)),
        field=held.column.replace("_", " "),
        value=held.value or "",
        sentence=say(held.doubt, json.loads(held.details or "{}")),
        proposal=held.proposal or "",
        origin=held.origin,
        waiting_since_on=held.sent_on,
    )


def sources_view(showing: Showing) -> SourcesPage:
    """Return the page of rules and limits in force on the day asked about."""
    state, ground = showing.state, showing.assessed.ground
    rules = [state.rules[i] for i in ground.rules.rule_id.tolist()]
    limits = [state.limits[i] for i in ground.limits.limit_id.tolist()]
    return SourcesPage(
        frame=showing.frame,
        rules=tuple(_rule_row(showing, rule) for rule in rules),
        limits=tuple(_limit_row(showing, limit) for limit in limits),
    )


def _decision(showing: Showing, id_: int | None) -> str:
    if id_ is None:
        return ""
    # A rule holds from its own day; who decided on it may have done so later.
    found = showing.state.known.decisions[id_]
    return f"{found.number}, {found.decided_on}"


def _rule_row(showing: Showing, rule: Rule) -> RuleRow:
    parts = (
        rule.subject,
        rule.purpose,
        rule.severity,
        rule.structure_kind,
        rule.path_kind,
    )
    return RuleRow(
        name=rule.name,
        applies_to=", ".join(str(p) for p in parts if p is not None),
        sentence=rule_sentence(rule),
        basis=str(rule.basis),
        source=citation(rule),
        edition=rule.edition,
        mark=str(rule.mark),
        from_on=rule.from_on,
        until_on=rule.until_on,
        decision=_decision(showing, rule.decision_id),
    )


def rule_sentence(rule: Rule) -> str:
    """Return what a rule says, and what it does not say."""
    id_ = f"rule.{str(rule.shape).replace(' ', '_')}"
    if rule.shape is RuleShape.CALENDAR_YEARS and rule.years == 1:
        id_ = "rule.each_year"
    if rule.shape in MAY_STATE and rule.trigger == SIDE_LOST:
        id_ = f"{id_}_fact"
    names = ("years", "months", "days", "factor", "trigger")
    said = say(id_, {name: getattr(rule, name) for name in names})
    return f"{said} {rule.says_not.rstrip('.')}.".replace(" .", "")


def _limit_row(showing: Showing, limit: Limit) -> LimitRow:
    return LimitRow(
        name=limit.name,
        method=_METHODS.get(limit.method, limit.method),
        purpose=str(limit.purpose or say("limit.any_purpose")),
        role=str(limit.role),
        value=limit_value(limit),
        source=" ".join(p for p in (limit.source, limit.clause) if p),
        edition=limit.edition,
        mark=str(limit.mark),
        from_on=limit.from_on,
        until_on=limit.until_on,
        decision=_decision(showing, limit.decision_id),
    )
