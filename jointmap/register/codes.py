"""The fixed words of the register; columns hold each as its place in the list."""

from jointmap.register.coded_word import CodedWord


class Verdict(CodedWord):
    """What a reading, a joint or a boundary may be called."""

    ISOLATING = "isolating"
    DOUBTFUL = "doubtful"
    SHORTED = "shorted"
    INCONCLUSIVE = "inconclusive"
    NOT_TESTED = "not tested"


class DueState(CodedWord):
    """Where a due date stands against the day asked about."""

    IN_TIME = "in time"
    DUE_THIS_MONTH = "due this month"
    NEAR_LIMIT = "near the limit"
    PAST_LIMIT = "past the limit"
    NO_BASIS = "no basis"
    BEFORE_NEXT_USE = "before next use"
    NOT_DUE = "not due"  # out of duty, or joined on purpose: it has no date at all


class Basis(CodedWord):
    """Where a limit on a date comes from; ties go to the first in this list."""

    LAW = "law"
    STANDARD = "standard"
    OWNER = "owner procedure"
    CONDITION = "condition"
    TREND = "trend"
    RISK = "risk"


class Mark(CodedWord):
    """How well a published value is known here."""

    SEEN = "seen"
    FROM_MEMORY = "from memory"
    COMMON_PRACTICE = "common practice, no source"
    OWNER_CHOICE = "owner's choice"


class JointState(CodedWord):
    """Where a joint is in its life."""

    PLANNED = "planned"
    FITTED = "fitted"
    AWAITING_ACCEPTANCE = "awaiting acceptance"
    IN_DUTY = "in duty"
    OUT_OF_DUTY = "out of duty"
    REMOVED = "removed"


LEFT_DUTY = (JointState.OUT_OF_DUTY, JointState.REMOVED)


class Purpose(CodedWord):
    """Why two structures are kept apart; it sets the limits."""

    PROTECTION = "protection"
    SECTIONING = "sectioning"
    DISSIMILAR_METALS = "dissimilar metals"
    SHIP_SHORE = "ship/shore"
    OWNERSHIP = "ownership"
    STRAY_CURRENT = "stray current"
    SERVICE_LINE = "service line"
    NOT_STATED = "not stated"


class Side(CodedWord):
    """The two sides of a joint, set once and stencilled."""

    A = "A"
    B = "B"


class Layout(CodedWord):
    """Which ends of a stud carry isolating washers."""

    TWO_SIDE = "two-side"
    ONE_SIDE_A = "one-side-a"
    ONE_SIDE_B = "one-side-b"
    UNKNOWN = "unknown"


class DeviceKind(CodedWord):
    """What may be fitted at a joint."""

    FLANGE_KIT = "flange kit"
    MONOLITHIC = "monolithic joint"
    UNION = "union"
    COUPLING = "coupling"


class StructureKind(CodedWord):
    """What sort of continuous metal a structure is."""

    PIPELINE_SECTION = "pipeline section"
    PLANT_PIPING = "plant piping"
    EARTH_GRID = "earth grid"
    MAINS = "mains"
    HOUSE_PIPING = "house piping"
    JETTY = "jetty"
    SHIP = "ship"
    CASING = "casing"
    FOREIGN_LINE = "foreign line"
    SERVICE_LINE = "service line"


class PathKind(CodedWord):
    """Other metal across a boundary."""

    SURGE_DEVICE = "surge protective device"
    TEMPORARY_BOND = "temporary bond"
    RESISTANCE_BOND = "resistance bond"
    BOND_ON_PURPOSE = "bond on purpose"
    DRAINAGE = "drainage bond"
    SUPPORT = "support"
    TUBING = "tubing"
    CONDUIT = "conduit"
    EARTH_WIRE = "earth wire"


class PathState(CodedWord):
    """What the last look at a parallel path found."""

    APART = "apart"
    JOINING = "joining"
    NOT_KNOWN = "not known"


class Scope(CodedWord):
    """What a test was made on."""

    JOINT = "joint"
    BOUNDARY = "boundary"
    STUD = "stud"
    GASKET_CORE = "gasket core"
    PATH = "parallel path"
    SOURCE = "source"


class Stage(CodedWord):
    """When in the life of a joint a test was made."""

    BENCH = "bench"
    BEFORE_TIGHTENING = "before tightening"
    BEFORE_TIE_IN = "before tie-in"
    ACCEPTANCE = "acceptance"
    ROUTINE = "routine"
    AS_FOUND = "as found"
    AS_LEFT = "as left"


class Outcome(CodedWord):
    """Whether a visit gave a reading; all but the first are `not tested`."""

    MEASURED = "measured"
    GATE_LOCKED = "gate locked"
    NO_ACCESS = "no access"
    BERTH_OCCUPIED = "berth occupied"
    FROZEN_GROUND = "frozen ground"
    FLOODED = "flooded"
    STORM = "storm"
    AC_TOO_HIGH = "AC too high"
    INSTRUMENT_FAULT = "instrument fault"
    OTHER_REASON = "other reason"


class Indication(CodedWord):
    """What an instrument without a number showed."""

    NO_SHORT = "no short"
    SHORT = "short"
    UNCLEAR = "unclear"


class Severity(CodedWord):
    """How hard the service is on the joint."""

    HARSH = "harsh"
    NORMAL = "normal"
    MILD = "mild"


class Consequence(CodedWord):
    """Class of consequence of a hidden short; A is the worst."""

    A = "A"
    B = "B"
    C = "C"
    D = "D"


class WaterContent(CodedWord):
    """Whether the fluid can bridge the gap inside."""

    DRY = "dry"
    CAN_DROP_WATER = "can drop water"
    WET = "wet"
    NOT_KNOWN = "not known"


class OccurrenceKind(CodedWord):
    """Events after which a joint may need a look."""

    STORM = "storm"
    POWER_FAULT = "power fault"
    PAINTING = "painting"
    SOURCE_STEP = "source step"
    WATER_BREAKTHROUGH = "water breakthrough"
    WORK_NEARBY = "work nearby"
    WALL_LOSS = "wall loss"
    FLOOD = "flood"
    REROUTE = "reroute"
    REPAIR = "repair"
    OUT_OF_USE = "out of use"
    BACK_IN_USE = "back in use"
    WRONG_PART = "wrong part"
    BATCH_UNDER_SUSPICION = "batch under suspicion"
    TOO_HOT = "too hot"
    METAL_TOUCHING = "metal touching"
    COATING_DAMAGE = "coating damage"


class LeadState(CodedWord):
    """What is known of a test lead; a broken lead imitates isolation."""

    SOUND = "sound"
    BROKEN = "broken"
    CROSSED = "crossed"
    UNKNOWN = "unknown"


class Subject(CodedWord):
    """What a position, a rule or a decision is about."""

    JOINT = "joint"
    BOUNDARY = "boundary"
    PATH = "parallel path"
    SOURCE = "source"
    TEST_POINT = "test point"
    CREW = "crew"
    SITE = "site"


# The kind of record that a subject's name is looked up among.
KIND_OF_SUBJECT: dict[str, str] = {
    Subject.JOINT: "joint",
    Subject.BOUNDARY: "boundary",
    Subject.PATH: "path",
    Subject.SOURCE: "source",
    Subject.TEST_POINT: "test_point",
    Subject.CREW: "crew",
    Subject.SITE: "site",
}


class LimitRole(CodedWord):
    """What a limit decides."""

    ISOLATING_AT_LEAST = "isolating at least"
    ISOLATING_ABOVE = "isolating above"
    ISOLATING_AT_MOST = "isolating at most"
    SHORTED_AT_MOST = "shorted at most"
    SHORTED_ABOVE = "shorted above"
    GUARD_AT_LEAST = "guard at least"
    STOP_AT_LEAST = "stop at least"


class DecisionKind(CodedWord):
    """What a person decided."""

    ADOPTED = "adopted"
    ACCEPTED_PROPOSAL = "accepted proposal"
    REFUSED_PROPOSAL = "refused proposal"
    DEFERRED = "deferred"
    JOINED_ON_PURPOSE = "joined on purpose"
    RELEASED = "released"
    ACCEPTED_EXCEPTION = "accepted exception"
    REMEDIAL_PLAN = "remedial plan"
    PERMIT_RECEIVED = "permit received"
    SEEN = "seen"
    RUN_BY_ONE = "run by one person"
    ROLE_GIVEN = "role given"
    YEARLY_IMPRACTICAL = "yearly tests impractical"
    PAPERS_NOT_ASKED = "papers not asked"
    PAPERS_ASKED = "papers asked"
    PAPERS_NOT_KEPT = "papers not kept"
