"""A failure model from the site's own record, stored, put in force if asked."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from jointmap.assessment.assess import assess
from jointmap.assessment.lives import read_lives
from jointmap.assessment.trends import read_series, spread_by_method
from jointmap.changes.change import Change, begin
from jointmap.changes.decided import Decided, decision
from jointmap.changes.rows.context import local_day
from jointmap.changes.rows.records_checked import check_days
from jointmap.errors import Problem, WrongUse
from jointmap.files.names import MODELS
from jointmap.files.single import make_private_folder, put_private
from jointmap.hazard.failure_model import (
    ClassFamily,
    FailureModel,
    default_prior,
    from_json,
    model_on,
    to_json,
)
from jointmap.hazard.learning import LEAST_FAILURES, learn
from jointmap.how_far import HowFar, to_nobody
from jointmap.incoming import read_plain_file, text_of
from jointmap.incoming.size_limits import TABLE_BYTES
from jointmap.plain_text import lines_text
from jointmap.register import Model
from jointmap.register.codes import DecisionKind, Mark
from jointmap.sites.site_folder import SiteFolder
from jointmap.snapshot.snapshot import Snapshot, snapshot_of
from jointmap.tables.risk import load_errors, load_targets
from jointmap.wording import say

# With fewer effective failures of its own a class follows the plant (judgement).
SPEAKS_FOR_ITSELF = 3.0


@dataclass(frozen=True, slots=True)
class Learned:
    """A model and the register state that it was learned from."""

    model: FailureModel
    on: dt.date
    entry: int

    @property
    def name(self) -> str:
        """Name of the version: the day and the register's entry."""
        return f"learned-{self.on}-entry-{self.entry}"


@dataclass(frozen=True, slots=True)
class OwnTables:
    """What takes the place of the defaults, if given: files, and days of repeats."""

    errors: Path | None = None
    targets: Path | None = None
    repeat_days: int | None = None

    def laid_over(self, model: FailureModel) -> FailureModel:
        """Return ``model`` with these rows; raises ``Refused`` for an unsound file."""
        errors = {e.method: e for e in model.errors}
        targets = {t.consequence: t for t in model.targets}
        if self.errors:
            errors |= load_errors(_text(self.errors), self.errors.name)
        if self.targets:
            targets |= load_targets(_text(self.targets), self.targets.name)
        days = model.repeat_days if self.repeat_days is None else self.repeat_days
        return replace(
            model,
            errors=tuple(errors.values()),
            targets=tuple(targets.values()),
            repeat_days=days,
        )


def _text(path: Path) -> str:
    return text_of(path.name, read_plain_file(path, TABLE_BYTES))


def learn_text(
    site: SiteFolder,
    *,
    on: dt.date,
    known: dt.date | None,
    tables: OwnTables = OwnTables(),
    tell: HowFar = to_nobody,
) -> tuple[Learned, str]:
    """Learn a model, store it in the site's folder of models, and say what it holds."""
    with snapshot_of(site.register, known) as state:
        learned = Learned(_learned(state, on, tables, tell), on, state.last.entry)
    folder = site.path / MODELS
    make_private_folder(folder)
    path = folder / f"{learned.name}.json"
    put_private(path, f"{to_json(learned.model)}\n".encode())
    lines = [*told(learned.model), say("learn.stored", {"path": str(path)})]
    return learned, lines_text(lines)


def _learned(
    state: Snapshot, on: dt.date, tables: OwnTables, tell: HowFar
) -> FailureModel:
    tell("judging", 0, 2)
    found = assess(state, on)
    tell("learning", 1, 2)
    lives, events = read_lives(
        found.ground, found.tests, found.subjects, found.counting
    )
    series = read_series(found.ground, found.tests, found.judgements)
    own = tables.laid_over(prior_of(state, on))
    prior = replace(own, spread_by_method=spread_by_method(series))
    if not len(lives.columns):
        raise WrongUse(Problem("learn.no_joint"))
    return learn(prior, lives.columns, events, lives.device_names, lives.place_names)


def prior_of(state: Snapshot, on: dt.date) -> FailureModel:
    """Return the default prior with the tables and targets of the model in force."""
    record = model_on(state.models, on)
    plain = default_prior()
    if record is None:
        return plain
    own = from_json(record.numbers)
    return replace(
        plain,
        errors=own.errors,
        targets=own.targets,
        least_days=own.least_days,
        cautious_class=own.cautious_class,
        cautious_quantile=own.cautious_quantile,
        repeat_days=own.repeat_days,
        small_class=own.small_class,
    )


def adopt(site: SiteFolder, learned: Learned, change: Change) -> str:
    """Put a learned model in force from its day on; returns what was done."""
    record = Model(
        name=learned.name,
        from_on=learned.on,
        numbers=to_json(learned.model),
        source=learned.model.data,
        mark=Mark.OWNER_CHOICE,
    )
    with begin(site, change) as job:
        if job.known("model").id_of(record.key()) is not None:
            raise WrongUse(Problem("learn.known", {"model": learned.name}))
        check_days(record, local_day(job, change.now))
        job.add(record)
        decided = Decided(DecisionKind.ADOPTED, "model", record.name)
        job.add(decision(job, decided, change))
    facts = {"model": learned.name, "from_on": learned.on, "by": change.by}
    return say("learn.adopted", facts) + "\n"


def told(model: FailureModel) -> Iterator[str]:
    """Yield what a model says, line by line."""
    yield say("learn.data", {"data": model.data})
    yield from ageing_lines(model)
    yield say("learn.spread", {"spread": model.joint_spread**-0.5})
    for heading, family in (
        ("learn.devices", model.device),
        ("learn.places", model.place),
    ):
        yield say(heading, {"mean": family.pool.mean_rate})
        yield from _classes(family)
    yield say("learn.repeats", {"days": model.repeat_days})
    yield say("learn.small_class", {"small": model.small_class})
    for method, spread in model.spread_by_method.items():
        yield say("learn.scatter", {"method": method, "spread": spread})


def ageing_lines(model: FailureModel) -> Iterator[str]:
    """Yield how the devices of each mechanism age, and what that rests on."""
    for mechanism, own in model.ageing.items():
        aged = own.shape != 1.0 or own.shorts >= LEAST_FAILURES
        facts = {"mechanism": mechanism, **asdict(own), "least": LEAST_FAILURES}
        yield say("learn.ageing" if aged else "learn.no_ageing", facts)


def _classes(family: ClassFamily) -> Iterator[str]:
    rates = family.rates
    for n, name in enumerate(family.names):
        failures = float(rates.failures[n])
        facts = {
            "name": name,
            "rate": float(rates.rate[n]),
            "failures": failures,
            "joints": float(rates.joints[n]),
            "years": float(rates.joint_years[n]),
            "exposure": float(rates.exposure[n]),
        }
        own = failures >= SPEAKS_FOR_ITSELF
        yield say("learn.class" if own else "learn.class_prior", facts)
