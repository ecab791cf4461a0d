"""Bring records in: files in, accepted rows in one transaction, notes on the rest."""

import datetime as dt
from collections import Counter
from collections.abc import Container, Sequence
from contextlib import ExitStack, nullcontext
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import groupby
from pathlib import Path
from typing import cast

from jointmap.assessment.unanswered import Unanswered
from jointmap.changes.change import check_person, check_said
from jointmap.changes.culprit import ReaderStops, named_culprit
from jointmap.changes.differing import differing, shown, with_unsaid
from jointmap.changes.holding import POSITION, ROW, Holding, differs, held_of
from jointmap.changes.law_told import Told, law_told, needs_rules, roles_told
from jointmap.changes.read_again import ReadAgain, read_again, whole_row
from jointmap.changes.rows.context import Context, local_day
from jointmap.changes.rows.decisions_checked import NO_DATE
from jointmap.changes.rows.devices_checked import OVERLAP
from jointmap.changes.rows.names_checked import NO_SUBJECT
from jointmap.changes.rows.positions import (
    as_decided,
    beside_its_place,
    captured,
    settle_positions,
)
from jointmap.changes.rows.resolve import (
    heading_of,
    key_headings,
    placed_in,
    record_of,
    subject_key,
)
from jointmap.changes.rows.same_names import Names
from jointmap.changes.sent.sent_files import SentFiles
from jointmap.changes.sent.sent_sheets import paths_of, read_sheets
from jointmap.errors import Problem, Refused, WrongUse
from jointmap.exchange import Draft, Read
from jointmap.how_far import HowFar, to_nobody
from jointmap.register import Position, Record
from jointmap.register.same_letters import says_nothing
from jointmap.sites.site_folder import SiteFolder
from jointmap.storage import Writing
from jointmap.storage.kept_together import keeping
from jointmap.storage.register_file import Trial

# Faults that a later row of the same delivery may mend.
MAY_COME = (OVERLAP, NO_SUBJECT, NO_DATE)


@dataclass(slots=True)
class LoadReport:
    """What became of a delivery: counts by record kind, and a note per row left out."""

    accepted: Counter[str] = field(default_factory=Counter)
    revised: Counter[str] = field(default_factory=Counter)
    unchanged: Counter[str] = field(default_factory=Counter)
    law: Sequence[Told] = ()
    roles: Sequence[Told] = ()
    held: list[Problem] = field(default_factory=list)
    refused: list[Problem] = field(default_factory=list)
    # What the state that was tried cannot answer; None where nothing was tried.
    unanswered: Unanswered | None = None

    @property
    def is_clean(self) -> bool:
        """Whether every row was taken as sent."""
        return not self.held and not self.refused


def load(  # noqa: PLR0913 - one for each option
    site: SiteFolder,
    files: Sequence[Path],
    *,
    now: dt.datetime,
    by: str,
    reason: str,
    dry_run: bool = False,
    rules: bool = False,
    tried: bool = True,
    tell: HowFar = to_nobody,
) -> LoadReport:
    """Load files; raises ``Refused`` for faults of a file as a whole.

    ``now`` is the instant (with its zone) at which the rows are recorded. With
    ``dry_run`` everything is checked and nothing is kept. Only with ``rules`` may the
    files change rules, limits, models or the site's own values. Before anything is kept
    the readers are run on it, unless the caller does so itself (``tried``). ``tell`` is
    told of files, rows and readers.
    """
    if says_nothing(by) or says_nothing(reason):
        raise WrongUse(Problem("load.nameless"))
    check_said(by, reason)
    paths = paths_of(files)
    reads = read_sheets(paths, tell)
    trial = site.trial_at(now, tell) if tried else None
    facts = now, by, reason, paths
    delivery = _Delivery(site, files, facts, rules, trial, tell)
    try:
        return delivery.take(reads, keeps=not dry_run)
    except ReaderStops as stop:
        attempt = partial(delivery.take, keeps=False)
        raise named_culprit(stop, reads, attempt) from None


@dataclass(frozen=True, slots=True)
class _Delivery:
    """What is loaded by whom; taken whole or, to find a row, in part."""

    site: SiteFolder
    files: Sequence[Path]
    facts: tuple[dt.datetime, str, str, Sequence[Path]]
    rules: bool
    trial: Trial | None
    tell: HowFar

    def take(self, reads: Sequence[Read], *, keeps: bool) -> LoadReport:
        """Take rows into one transaction, which is kept or thrown away."""
        now, by, reason, paths = self.facts
        register, trial = self.site.register, self.trial
        sent = [d for read in reads for d in read.drafts if d.kind == "attachment"]
        with ExitStack() as taken:
            attached = SentFiles(self.site.path, self.files, taken)
            # Nothing is locked while strangers' files are taken apart.
            attached.take_in(sent)
            job = register.write(now, by, reason, paths, trial=trial, keeps=keeps)
            stores = bool(sent) and keeps
            held = keeping(register, self.site.path) if stores else nullcontext()
            with held, job as writing:
                writing.rows = sum(len(read.drafts) for read in reads)
                report = _Loader(writing, now, attached, self.tell).run(reads)
                check_person(writing, by)
                attached.keep(writing, stores=stores)
                _check_permission(writing, report, rules=self.rules)
        if isinstance(writing.found, Unanswered):
            report.unanswered = writing.found
        return report


def _check_permission(writing: Writing, report: LoadReport, *, rules: bool) -> None:
    report.law, report.roles = law_told(writing), roles_told(writing)
    writing.check_permission()
    if report.law and not rules:
        raise Refused(needs_rules(report.law))


@dataclass(slots=True)
class _Loader:
    """Takes one delivery's drafts into one transaction."""

    job: Writing
    now: dt.datetime
    attached: SentFiles
    tell: HowFar = to_nobody
    report: LoadReport = field(default_factory=LoadReport)
    seen: dict[tuple[str, object], str] = field(default_factory=dict)
    today: dt.date = dt.date.min
    holding: Holding = field(init=False)
    names: Names = field(init=False)
    again: ReadAgain = field(init=False)

    def __post_init__(self) -> None:
        self.holding = Holding(self.job)
        self.names = Names(self.job)
        self.again = ReadAgain(self.job)

    def run(self, reads: Sequence[Read]) -> LoadReport:
        self.report.refused += [p for r in reads for p in r.refused]
        drafts = [d for r in reads for d in r.drafts]
        self._take_all([d for d in drafts if d.kind == "site"], self.now.date())
        if self.report.refused and self.job.known("site").is_empty:
            raise Refused(self.report.refused)
        self._take_all(
            [d for d in drafts if d.kind != "site"], local_day(self.job, self.now)
        )
        return self.report

    def _take_all(self, drafts: Sequence[Draft], today: dt.date) -> None:
        self.today = today
        context = Context(self.job, self.now, today)
        others = [d for d in drafts if d.kind != "position"]
        late = self._take_each(others, context)
        # The place of a row that was refused is refused with it, and told once.
        out = {(p.file, p.line) for p in self.report.refused}
        places = [
            d for d in drafts if d.kind == "position" and (d.file, d.line) not in out
        ]
        for draft, doubt in settle_positions(self.job, places):
            self._take(*as_decided(self.job, draft, doubt), context)
        for draft in late:
            self._take(draft, None, context)

    def _take_each(self, drafts: Sequence[Draft], context: Context) -> list[Draft]:
        """Take rows kind by kind; return those that speak of what may come later.

        Of devices, the row that ends one may stand below the row of the next.
        """
        late = []
        for kind, group in groupby(drafts, key=lambda d: d.kind):
            again = [d for d in group if not self._take(d, None, context, MAY_COME)]
            if kind == "device":
                for draft in again:
                    self._take(draft, None, context)
            else:
                late += again
        return late

    def _take(
        self,
        draft: Draft,
        doubt: Problem | None,
        context: Context,
        put_off: Container[str] = (),
    ) -> bool:
        """Take one row; return False where it is to be taken again, later."""
        self.tell("rows", min(len(self.seen), self.job.rows), self.job.rows)
        try:
            record = record_of(draft, context)
            self.names.check(draft, record)
            if draft.kind == "attachment":
                self.attached.check(draft)
        except Refused as refused:
            if all(p.id in put_off for p in refused.problems):
                return False
            self.report.refused += [placed_in(draft, p) for p in refused.problems]
            return True
        first = self.seen.setdefault((draft.kind, record.key()), draft.origin)
        if first != draft.origin:
            self.report.refused.append(placed_in(draft, _twice(draft, first)))
            return True
        self._keep(draft, record, doubt, context)
        return True

    def _keep(
        self, draft: Draft, record: Record, doubt: Problem | None, context: Context
    ) -> None:
        """Put a sound record, and what there is to ask about it."""
        doubts = [*draft.held, *context.doubts(record)]
        record, doubt = beside_its_place(self.job, draft, record, doubt)
        is_new, labels = self._put(draft, record)
        if ROW in labels:
            return  # what was asked about that reading was asked when it came first
        context.note(record)
        if doubt is not None and POSITION not in labels:
            doubts.append(doubt)
        for problem in doubts:
            # A reason sent with a row asks anew.
            self._hold(draft, problem, is_new=is_new or bool(draft.reason))

    def _put(self, draft: Draft, record: Record) -> tuple[bool, Sequence[str]]:
        """Return whether the row is new on record, and which of its values wait."""
        known = self.job.known(draft.kind)
        id_ = known.id_of(record.key()) or self.again.meant(draft, record)
        if id_ is None:
            return self._put_new(draft, record)
        old = known.record(id_)
        record = with_unsaid(draft, old, record)
        labels = differing(old, record)
        if not labels:
            self.report.unchanged[draft.kind] += 1
            return False, ()
        if draft.reason:
            self.job.revise(id_, replace(record, correction_reason=draft.reason))
            self.report.revised[draft.kind] += 1
            given = [heading_of(draft.sheet, label) for label in labels]
            self.holding.settle(subject_key(draft), given)
            return True, ()
        self._hold_differing(draft, old, record)
        return False, labels

    def _put_new(self, draft: Draft, record: Record) -> tuple[bool, Sequence[str]]:
        old = self.again.twin(record)
        if old is not None:
            self.job.permission.note_kind(draft.kind, draft.origin, is_new=True)
            self._hold(draft, read_again(self.job, draft, old, record))
            return False, (ROW,)
        self.again.note(self.job.add(record), record)
        self.report.accepted[draft.kind] += 1
        return True, ()

    def _hold_differing(self, draft: Draft, old: Record, new: Record) -> None:
        # Who may not record a kind does not propose to change one either.
        self.job.permission.note_kind(draft.kind, draft.origin, is_new=True)
        labels = differing(old, new)
        if draft.kind == "test" and len(labels) > 1:
            self._hold(draft, whole_row(self.job, draft, old, new))
            return
        for label in labels:
            facts: dict[str, object] = {"old": shown(self.job, old, label) or "blank"}
            if label == POSITION:
                facts["captured"] = list(captured(cast("Position", new)))
            value = shown(self.job, new, label)
            heading = heading_of(draft.sheet, label)
            id_ = differs(draft.kind, label)
            self._hold(draft, Problem(id_, facts, column=heading, value=value))

    def _hold(self, draft: Draft, problem: Problem, *, is_new: bool = True) -> None:
        held = held_of(draft, problem, self.today)
        if self.holding.hold(held, is_new=is_new):
            self.report.held.append(placed_in(draft, problem))


def _twice(draft: Draft, first: str) -> Problem:
    facts = {"kind": draft.kind.replace("_", " "), "first": first}
    id_ = "row.test_twice" if draft.kind == "test" else "row.twice"
    return Problem(id_, facts, column=key_headings(draft), value=subject_key(draft))
