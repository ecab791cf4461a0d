"""A failure model in force: rates by class, error tables, targets, and as JSON."""

import datetime as dt
import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field, fields
from enum import StrEnum
from typing import Any

import numpy as np
import numpy.typing as npt

from jointmap.errors import Problem, Refused, WrongUse
from jointmap.hazard.class_rates import ClassRates, Pool, pooled
from jointmap.intervals.facts import stack
from jointmap.register.codes import Mark
from jointmap.register.columns import Codes, Floats, Ids
from jointmap.register.ruling import Model
from jointmap.tables.methods import METHOD_CODES
from jointmap.tables.risk import (
    METHOD_ERRORS,
    RISK_TARGETS,
    MethodErrors,
    RiskTarget,
    refuse_unsound,
)

FORM = 1
DEFAULT_PRIOR = "default-prior"
NO_MODEL = "no-model"
NO_DATA = "no data of your own"
_RATE_FIELDS = tuple(f.name for f in fields(ClassRates))


class _Mechanism(StrEnum):
    """Devices of one age alike. A joint's own is told by ``Joint.is_buried``."""

    ABOVE_GROUND = "above ground"
    BURIED = "buried"


MECHANISMS = tuple(map(str, _Mechanism))
# A device's rate is the mean over this many years from new, whatever its shape: so
# classes that age differently can be pooled, and added to rates of ways around.
RATED_YEARS = 10.0


@dataclass(frozen=True, slots=True)
class Ageing:
    """How the devices of one mechanism age: hazard by age to the power ``shape``."""

    shape: float = 1.0  # of Weibull's law; 1: no ageing
    shorts: int = 0  # found, when it was learned; shorted results in a row are one


def ageing_alike(shape: float) -> dict[str, Ageing]:
    """Return the same ageing for every mechanism."""
    return {name: Ageing(shape) for name in MECHANISMS}


@dataclass(frozen=True, slots=True)
class ClassFamily:
    """The classes of devices, or of places, with what is known of each.

    A class that is not in ``names`` has the pool's mean and likeness.
    """

    pool: Pool
    names: tuple[str, ...] = ()
    rates: ClassRates = field(
        default_factory=lambda: ClassRates(*np.zeros((6, 0), np.float64))
    )

    def code(self, name: str) -> int:
        """Return the place of a class in ``with_other``."""
        return self.names.index(name) if name in self.names else len(self.names)

    def with_other(self) -> ClassRates:
        """Return the rates with one more row: that of a class with no record."""
        return stack([self.rates, pooled(self.pool, *np.zeros((3, 1)))])

    def of_joints(self, code: Codes, own: Floats) -> tuple[ClassRates, Ids]:
        """Return the classes, and which each joint is of.

        A joint with counts of its own, [failures, exposure], is left out of its class:
        the others of the class stand as one class more.
        """
        known = self.with_other()
        alone = np.flatnonzero(own.any(axis=1))
        part = known.take(code[alone])
        failures = np.maximum(part.failures - own[alone, 0], 0.0)
        exposure = np.maximum(part.exposure - own[alone, 1], 0.0)
        others = pooled(self.pool, failures, exposure, part.joint_years, part.joints)
        at = code.astype(np.int64)
        at[alone] = len(known) + np.arange(len(alone))
        return stack([known, others]), at


@dataclass(frozen=True, slots=True, kw_only=True)
class FailureModel:
    """Everything that a risk or trend date is reckoned with.

    ``ageing`` is that of devices, by mechanism; ways around come at a steady rate.
    ``cautious_class`` is reckoned with the rate's upper ``cautious_quantile``.
    Of tests alike within ``repeat_days`` the last counts alone.
    ``small_class``: of a class with fewer joints the joint itself is left out, as its
    record stood on the day ``learned_until``, of its last event.
    ``spread_by_method`` is the scatter of log10 readings about their line.
    """

    ageing: Mapping[str, Ageing] = field(default_factory=lambda: ageing_alike(1.0))
    joint_spread: float  # Gamma shape of a joint's own multiplier
    device: ClassFamily
    place: ClassFamily
    errors: tuple[MethodErrors, ...] = tuple(METHOD_ERRORS.values())
    targets: tuple[RiskTarget, ...] = tuple(RISK_TARGETS.values())
    least_days: int = 30
    cautious_class: str = "A"
    cautious_quantile: float = 0.8
    repeat_days: int = 7
    small_class: int = 20
    learned_until: dt.date | None = None
    spread_by_method: Mapping[str, float] = field(default_factory=dict)
    data: str = NO_DATA

    def __post_init__(self) -> None:
        """Refuse error tables and targets that contradict themselves."""
        refuse_unsound(self.errors)
        refuse_unsound(self.targets)

    def shapes(self) -> Floats:
        """Return the shape of each mechanism, in the order of ``MECHANISMS``."""
        return np.array([self.ageing[name].shape for name in MECHANISMS])

    def chances(self) -> npt.NDArray[np.float64]:
        """Return chances [failed or sound, method, verdict]; 1: no table."""
        found = np.ones((2, len(METHOD_CODES) + 1, 3))
        for row in self.errors:
            found[:, METHOD_CODES[row.method]] = [row.failed, row.sound]
        return found

    def by_consequence(self, words: Sequence[str]) -> tuple[Floats, Floats, Codes]:
        """Return end target, average target and cap months for each of ``words``.

        A class without a target has 1, 1 and 0: no risk date.
        """
        known = {t.consequence: t for t in self.targets}
        none = RiskTarget(
            consequence="",
            end_chance=1,
            average_chance=1,
            cap_months=0,
            source="",
            mark="",
        )
        own = [known.get(word, none) for word in words]
        return (
            np.array([t.end_chance for t in own]),
            np.array([t.average_chance for t in own]),
            np.array([t.cap_months for t in own], np.int16),
        )


def default_prior() -> FailureModel:
    """Return the model for a plant without failures on record, named as such.

    Mean 0.01 a joint-year, as sure as one failure in 100 years, half of it by ways
    around; no ageing. Judgement of this project: no published rate was found.
    """
    half = ClassFamily(Pool(mean_rate=0.005, likeness=0.5))
    return FailureModel(joint_spread=2.0, device=half, place=half)


def to_json(model: FailureModel) -> str:
    """Return a model as the text its record holds; equal models give equal text."""
    found = asdict(model)
    found["form"] = FORM
    found["learned_until"] = str(model.learned_until or "")
    for name in ("device", "place"):
        family = getattr(model, name)
        found[name]["rates"] = {
            key: np.asarray(getattr(family.rates, key)).tolist() for key in _RATE_FIELDS
        }
    return json.dumps(found, ensure_ascii=False, sort_keys=True, indent=1)


def from_json(text: str) -> FailureModel:
    """Return the model that a record's text holds.

    Raises
    ------
    Refused
        The text is no model of this form, or its tables contradict themselves.
    """
    try:
        found = json.loads(text)
        found = {k: found[k] for k in found if found["form"] == FORM and k != "form"}
        if "device_shape" in found:
            found = _with_ageing(found)
        ageing = found["ageing"]
        found["ageing"] = {name: Ageing(**ageing[name]) for name in MECHANISMS}
        for name in ("device", "place"):
            found[name] = _family(found[name])
        until = found.get("learned_until", "")
        found["learned_until"] = dt.date.fromisoformat(until) if until else None
        found["errors"] = tuple(_errors(row) for row in found["errors"])
        found["targets"] = tuple(RiskTarget(**row) for row in found["targets"])
        return FailureModel(**found)
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise Refused(Problem("risk.bad_model", {"error": repr(error)})) from None


def _with_ageing(found: dict[str, Any]) -> dict[str, Any]:
    """Return a record with one shape for all devices as one of today.

    Its rates are per year ** shape, and its classes hold joints of every mechanism.
    """
    shape, device = found["device_shape"], found["device"]
    factor = RATED_YEARS ** (shape - 1.0)
    unit = {"rate": factor, "exposure": 1.0 / factor}
    rates = {
        key: [v * unit.get(key, 1.0) for v in values] * len(MECHANISMS)
        for key, values in device["rates"].items()
    }
    pool = {**device["pool"], "mean_rate": device["pool"]["mean_rate"] * factor}
    names = [f"{own}, {name}" for name in MECHANISMS for own in device["names"]]
    kept = {key: value for key, value in found.items() if key != "device_shape"}
    ageing = {name: {"shape": shape} for name in MECHANISMS}
    return {
        **kept,
        "ageing": ageing,
        "device": {"pool": pool, "names": names, "rates": rates},
    }


def _family(found: dict[str, Any]) -> ClassFamily:
    # Records written before classes were counted leave no joint out.
    columns = {"joints": [0.0] * len(found["names"]), **found["rates"]}
    rates = ClassRates(**{k: np.array(v, np.float64) for k, v in columns.items()})
    return ClassFamily(Pool(**found["pool"]), tuple(found["names"]), rates)


def _errors(row: dict[str, Any]) -> MethodErrors:
    return MethodErrors(
        **{**row, "failed": tuple(row["failed"]), "sound": tuple(row["sound"])}
    )


def model_in_force(
    name: str, from_on: dt.date, until_on: dt.date | None = None
) -> Model:
    """Return the catalogue's model ``name`` as a record in force from a day on.

    ``no-model`` ends the use of models; a model is followed by the next one, so it has
    no last day of its own.

    Raises
    ------
    WrongUse
        The catalogue has no such model, or a last day is given.
    """
    texts = {DEFAULT_PRIOR: to_json(default_prior()), NO_MODEL: ""}
    if name not in texts or until_on is not None:
        known = ", ".join(texts)
        raise WrongUse(Problem("risk.model_unknown", {"model": name, "known": known}))
    return Model(
        name=name,
        from_on=from_on,
        numbers=texts[name],
        source=NO_DATA,
        mark=Mark.OWNER_CHOICE,
    )


def model_on(models: Mapping[int, Model], on: dt.date) -> Model | None:
    """Return the model in force on a day: the latest put in force; None: none."""
    begun = [(m.from_on, id_) for id_, m in models.items() if m.from_on <= on]
    if not begun:
        return None
    last = models[max(begun)[1]]
    return last if last.numbers else None
