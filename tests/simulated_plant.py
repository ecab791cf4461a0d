"""A plant whose joints fail by known laws, tested by fallible methods."""

from dataclasses import dataclass, field, replace

import numpy as np

from jointmap.hazard.ages import DAYS_A_YEAR, Change
from jointmap.hazard.class_rates import Pool, pooled
from jointmap.hazard.dates import LifeColumns, LifeEvents, risk_dates
from jointmap.hazard.failure_model import (
    MECHANISMS,
    RATED_YEARS,
    Ageing,
    ClassFamily,
    default_prior,
)
from jointmap.hazard.small_classes import own_counts
from jointmap.tables import METHOD_CODES

GOOD, WEAK = METHOD_CODES["potential-shift"], METHOD_CODES["potential-difference"]
DAY_ZERO = np.datetime64("2000-01-01")
CLASSES = 60
SHORTED = 2


@dataclass
class Plant:
    """Hidden truth: when each joint next fails, by which cause; and its record so far.

    ``shapes`` are those of devices above ground and buried: every other class. The
    mean rate is per year ** 1.4, what is alike at ten years holds for other shapes.
    ``fooled`` makes repeats of a method err alike, ``poor_repair`` is the share of
    repairs that leave the short, ``alarms`` the share of tests made because it failed.
    """

    seed: int
    joints: int
    shapes: tuple[float, float] = (1.4, 1.4)
    device_mean: float = 0.006
    place_mean: float = 0.006
    class_spread: float = 3.0
    joint_spread: float = 2.0
    evenness: float = 0.7
    fooled: bool = False
    poor_repair: float = 0.0
    alarms: float = 0.0
    rows: list = field(default_factory=list)

    def __post_init__(self):
        n = self.joints
        # The seed is the argument through which chance comes in.
        self.chance = np.random.default_rng(self.seed)  # noqa: TID251
        share = self.chance.dirichlet(np.full(CLASSES, self.evenness))
        self.device_class = self.chance.choice(CLASSES, n, p=share)
        self.place_class = self.chance.choice(CLASSES, n, p=share[::-1])
        k = self.class_spread
        self.device_rate = self.device_mean * self.chance.gamma(k, 1 / k, CLASSES)
        self.mechanism = (self.device_class % 2).astype(np.int16)
        self.shape = np.array(self.shapes)[self.mechanism]
        by_class = np.array(self.shapes)[np.arange(CLASSES) % 2]
        self.device_rate *= RATED_YEARS ** (1.4 - by_class)
        self.rated = self.device_rate * RATED_YEARS ** (by_class - 1.0)
        self.place_rate = self.place_mean * self.chance.gamma(k, 1 / k, CLASSES)
        j = self.joint_spread
        self.own = self.chance.gamma(j, 1 / j, n)
        self.start = np.floor(self.chance.uniform(0, 12 * DAYS_A_YEAR, n))
        self.renewed = self.start.copy()
        self.fails_at = np.full(n, np.inf)
        self.by_device = np.zeros(n, bool)
        self.fooled_by = np.zeros((n, 2), bool)
        self.draw(np.arange(n), self.start)

    def draw(self, who, now):
        """Draw when sound joints next fail, from the age their device has."""
        age = (now - self.renewed[who]) / DAYS_A_YEAR
        z = self.own[who]
        b = self.shape[who]
        e = self.chance.exponential(size=(2, len(who)))
        device = (age**b + e[0] / (z * self.device_rate[self.device_class[who]])) ** (
            1 / b
        ) - age
        place = e[1] / (z * self.place_rate[self.place_class[who]])
        self.by_device[who] = device < place
        self.fails_at[who] = now + np.minimum(device, place) * DAYS_A_YEAR
        self.fooled_by[who] = self.chance.uniform(size=(len(who), 2)) < [0.04, 0.12]

    def failed(self, who, now):
        return self.fails_at[who] <= now

    def visit(self, who, now):
        """Test joints, and repair what reads shorted and proves to be so."""
        weak = self.chance.random(len(who)) < 0.4
        method = np.where(weak, WEAK, GOOD)
        failed = self.failed(who, now)
        chances = default_prior().chances()[np.where(failed, 0, 1), method]
        drawn = self.chance.random(len(who))[:, None]
        verdict = (drawn > np.cumsum(chances, axis=1)).sum(axis=1).clip(0, 2)
        if self.fooled:
            missed = failed & self.fooled_by[who, weak.astype(int)]
            verdict = np.where(failed, np.where(missed, 0, 2), verdict)
        self.note(who, now, 0, Change.NONE, method, verdict, None)
        self.repair(who[verdict == SHORTED], now[verdict == SHORTED])

    def repair(self, who, now):
        """Open up what reads shorted: mend what is, put back what is not."""
        found = self.failed(who, now)
        who, now = who[found], now[found]
        cause = self.by_device[who]
        change = np.where(cause, Change.DEVICE, Change.PLACE)
        self.note(who, now, 1, change, -1, -1, cause)
        self.renewed[who[cause]] = now[cause]
        mended = self.chance.random(len(who)) >= self.poor_repair
        self.draw(who[mended], now[mended])

    def note(  # noqa: PLR0917 - one value for each column
        self, who, now, turn, change, method, verdict, cause
    ):
        whole = np.zeros(len(who), np.int64)
        device = np.zeros(len(who), bool) if cause is None else cause
        place = np.zeros(len(who), bool) if cause is None else ~cause
        self.rows.append(
            (who, now, whole + turn, whole + change, whole + method, whole + verdict,
             device, place)
        )  # fmt: skip

    def history(self, until_year):
        """Test every joint at uneven times until the day from which dates are set."""
        until = until_year * DAYS_A_YEAR
        now = self.start.copy()
        gap = self.chance.uniform(0.5, 3.0, self.joints)
        while True:
            step = np.floor(
                gap * self.chance.uniform(0.6, 1.4, self.joints) * DAYS_A_YEAR
            )
            now = now + step
            if self.alarms:
                hit = self.chance.random(self.joints) < self.alarms
                soon = np.floor(self.fails_at) + 10
                now = np.where(hit & (soon < now) & (soon > now - step), soon, now)
            at = np.flatnonzero(now < until)
            if not len(at):
                return
            self.visit(at, now[at])

    def lives(self, consequence=0):
        start = DAY_ZERO + self.start.astype(np.int64)
        whole = np.full(self.joints, consequence, np.int16)
        columns = (self.device_class, self.place_class, whole, self.mechanism)
        return LifeColumns(start, *columns, np.zeros((self.joints, 5)))

    def lives_under(self, model):
        """The lives as the program reckons with them: see ``own_counts``."""
        lives = self.lives()
        return replace(lives, own_counts=own_counts(model, lives, self.events()))

    def events(self):
        parts = [np.concatenate(c) for c in zip(*self.rows, strict=True)]
        parts[1] = DAY_ZERO + parts[1].astype(np.int64)
        return LifeEvents(*parts)

    def true_model(self):
        """The model that an all-knowing learner would find."""
        spread = 1e7

        def family(rates):
            pool = Pool(float(rates.mean()), 3.0)
            names = tuple(f"c{n:02d}" for n in range(CLASSES))
            return ClassFamily(
                pool,
                names,
                pooled(pool, rates * spread, *np.full((2, CLASSES), spread)),
            )

        return replace(
            default_prior(),
            ageing={m: Ageing(s) for m, s in zip(MECHANISMS, self.shapes, strict=True)},
            joint_spread=self.joint_spread,
            device=family(self.rated),
            place=family(self.place_rate),
            cautious_class="",
        )


NAMES = tuple(f"c{n:02d}" for n in range(CLASSES))


def with_target(model, end, average=0.999):
    row = replace(model.targets[0], end_chance=end, average_chance=average)
    return replace(model, targets=(row,), cautious_class="")


def scheduled(plant, model, target, rounds, from_year):
    """Test at each joint's own due date; returns per round how many had failed.

    Only dates that the risk sets are counted: a joint due at once is tested, and counts
    from the next round on.
    """
    today = np.full(plant.joints, np.floor(from_year * DAYS_A_YEAR))
    model = with_target(model, target)
    lives = plant.lives_under(model)
    counts = []
    for _ in range(rounds):
        dates = risk_dates(model, lives, plant.events(), DAY_ZERO)
        due = (dates.end_on - DAY_ZERO).astype(np.int64).astype(float)
        governed = due > today
        now = np.maximum(due, today)
        failed = plant.failed(np.arange(plant.joints), now)
        counts.append((int(governed.sum()), int(failed[governed].sum())))
        plant.visit(np.arange(plant.joints), now)
        today = now
    return np.array(counts)
