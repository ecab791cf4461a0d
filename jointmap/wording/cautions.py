"""Cautions: what can hurt someone at a place, chosen by place and purpose.

They advise and do not replace local codes or licensed practice. AC comes first.
"""

from collections.abc import Collection
from dataclasses import dataclass
from enum import StrEnum

from jointmap.register.codes import Mark, PathKind, Purpose
from jointmap.register.place import Joint


class Situation(StrEnum):
    """What about a place or a job calls for a caution."""

    ALWAYS = "always"
    HAZARDOUS_AREA = "hazardous area"
    SHIP_SHORE = "ship/shore"
    SURGE_DEVICE = "surge protective device"
    JOINED_ON_PURPOSE = "joined on purpose"
    TWO_PERSONS = "two persons"
    VAULT = "vault"
    TRAFFIC = "traffic"
    WATER = "water"
    BURIED = "buried"
    OPENING = "opening"
    OPENING_AT_SHIP = "opening between ship and shore"
    FITTING = "fitting"
    INSULATION_TEST = "insulation test"
    INTERRUPTING = "interrupting a current source"


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution's sentence, when it is printed, and where it comes from."""

    when: Situation
    sentence: str
    source: str
    mark: Mark


# In the order they are printed.
CAUTIONS: dict[str, Caution] = {
    "caution.ac_first": Caution(
        Situation.ALWAYS,
        "Measure AC first, each side to ground and between the sides, hands off the"
        " metal. "
        "At {ac_limit:volt} or more: stop, touch nothing, report.",
        "NACE RP0177-2000 5.2.1.1 (15 V AC rms)",
        Mark.SEEN,
    ),
    "caution.storm": Caution(
        Situation.ALWAYS,
        "No work while thunder can be heard, however far off.",
        "",
        Mark.COMMON_PRACTICE,
    ),
    "caution.one_hand": Caution(
        Situation.ALWAYS,
        "One hand, leads with insulating grips; never reach across the joint.",
        "",
        Mark.COMMON_PRACTICE,
    ),
    "caution.vapour": Caution(
        Situation.HAZARDOUS_AREA,
        "Explosive atmosphere possible: work permit first; test for combustible vapour "
        "before making or breaking any connection. Only instruments rated for this "
        "area.",
        "NACE RP0177-2000 5.4.2",
        Mark.SEEN,
    ),
    "caution.arc": Caution(
        Situation.SHIP_SHORE,
        "A ship may be alongside: no connection is made or broken during cargo "
        "handling without the terminal's consent. An arm that does not isolate is "
        "not to be used.",
        "2 CCR 2341, of the arm that does not isolate",
        Mark.SEEN,
    ),
    "caution.vault": Caution(
        Situation.VAULT,
        "Vault or pit: treat as a confined space. Test the air, do not enter alone, "
        "follow the site's entry procedure.",
        "",
        Mark.COMMON_PRACTICE,
    ),
    "caution.two_persons": Caution(
        Situation.TWO_PERSONS,
        "Two persons at this place.",
        "",
        Mark.COMMON_PRACTICE,
    ),
    "caution.traffic": Caution(
        Situation.TRAFFIC,
        "Traffic: set out signs, wear high-visibility clothing, keep a way out.",
        "",
        Mark.COMMON_PRACTICE,
    ),
    "caution.water": Caution(
        Situation.WATER,
        "Over or beside water: wear a life jacket, do not work alone.",
        "",
        Mark.COMMON_PRACTICE,
    ),
    "caution.surge_device": Caution(
        Situation.SURGE_DEVICE,
        "A surge protective device is across this joint: it can pass fault current "
        "at any time. Open it only at its test link, record both states, reconnect.",
        "",
        Mark.FROM_MEMORY,
    ),
    "caution.joined": Caution(
        Situation.JOINED_ON_PURPOSE,
        "This boundary is joined on purpose: do not remove the bond on purpose. "
        "A reading here shows metal contact and condemns no joint.",
        "49 CFR 192.467(a)",
        Mark.SEEN,
    ),
    "caution.before_opening": Caution(
        Situation.OPENING,
        "Before a flange is opened or pipe is cut: protection current off ahead of "
        "time, a temporary bond of sufficient size across the gap first on and last "
        "off, and written down both times.",
        "",
        Mark.FROM_MEMORY,
    ),
    "caution.opening_at_ship": Caution(
        Situation.OPENING_AT_SHIP,
        "Between ship and shore: never put a bond on purpose or a temporary bond"
        " across "
        "the gap, not for a moment. Open only with nothing alongside and the arm"
        " drained.",
        "",
        Mark.FROM_MEMORY,
    ),
    "caution.zero_pressure": Caution(
        Situation.FITTING,
        "Lock out, depressurise, drain, vent, and prove zero pressure here before the "
        "first nut is turned or the pipe is cut.",
        "",
        Mark.COMMON_PRACTICE,
    ),
    "caution.lifting": Caution(
        Situation.FITTING,
        "Lifting and pinch points: support the pipe before it parts, hands out of the "
        "gap, nothing forced. Protective equipment and rules of the host site.",
        "",
        Mark.COMMON_PRACTICE,
    ),
    "caution.insulation_test": Caution(
        Situation.INSULATION_TEST,
        "Before an insulation test disconnect surge devices and electronics and keep "
        "people off both sides; afterwards discharge the joint.",
        "",
        Mark.COMMON_PRACTICE,
    ),
    "caution.interrupting": Caution(
        Situation.INTERRUPTING,
        "Interrupt a current source only with its owner's permission, by the agreed "
        "cycle, opened by a person licensed to; leave it running as found. Local codes "
        "and licensed practice rule.",
        "",
        Mark.COMMON_PRACTICE,
    ),
    "caution.frozen": Caution(
        Situation.BURIED,
        "Frozen ground: take no potential to soil; write it down as the reason.",
        "UFC 3-570-06 (2003) appendix A",
        Mark.SEEN,
    ),
}

SENTENCES: dict[str, str] = {id_: c.sentence for id_, c in CAUTIONS.items()}


def cautions_for(situations: Collection[Situation]) -> tuple[str, ...]:
    """Return the ids of the cautions to print, AC first; the general ones always."""
    wanted = {Situation.ALWAYS, *situations}
    return tuple(id_ for id_, caution in CAUTIONS.items() if caution.when in wanted)


def situations_of(
    joint: Joint,
    purpose: Purpose = Purpose.NOT_STATED,
    paths: Collection[PathKind] = (),
    *,
    joined_on_purpose: bool = False,
) -> frozenset[Situation]:
    """Return what calls for caution at ``joint``, its boundary and its paths."""
    holds = {
        Situation.HAZARDOUS_AREA: bool(joint.hazardous_area),
        Situation.SHIP_SHORE: purpose is Purpose.SHIP_SHORE,
        Situation.SURGE_DEVICE: PathKind.SURGE_DEVICE in paths,
        Situation.JOINED_ON_PURPOSE: joined_on_purpose,
        Situation.TWO_PERSONS: joint.two_persons,
        Situation.VAULT: joint.in_vault,
        Situation.TRAFFIC: joint.near_traffic,
        Situation.WATER: joint.over_water,
        Situation.BURIED: joint.is_buried,
    }
    return frozenset(s for s, held in holds.items() if held)
