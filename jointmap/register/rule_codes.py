"""Words of rules for dates: their shapes, what each must state, what sets them off."""

from jointmap.register.coded_word import CodedWord


class RuleShape(CodedWord):
    """How a rule turns a last test into a last allowed day."""

    CALENDAR_YEARS = "calendar years"
    PLAIN_MONTHS = "plain months"
    SIX_A_YEAR = "six a year"
    AFTER_OCCURRENCE = "after occurrence"
    MULTIPLIER = "multiplier"
    RESTORE = "restore"
    FLOOR = "floor"
    MARGIN = "margin"
    DECIDE_BY = "decide by"
    PLAN_BY = "plan by"
    FIX_BY = "fix by"
    NO_CREDIT = "no credit"
    BEFORE_NEXT_USE = "before next use"
    TENTH_A_YEAR = "a tenth a year"


# What a rule of each shape must state; any other number must be blank, unless the
# shape may state it too.
NUMBERS_OF_SHAPE: dict[RuleShape, tuple[str, ...]] = {
    RuleShape.CALENDAR_YEARS: ("years", "months"),
    RuleShape.PLAIN_MONTHS: ("months",),
    RuleShape.SIX_A_YEAR: ("months", "days"),
    RuleShape.AFTER_OCCURRENCE: ("days", "trigger"),
    RuleShape.MULTIPLIER: ("factor", "trigger"),
    RuleShape.RESTORE: ("months",),
    RuleShape.FLOOR: ("months",),
    RuleShape.MARGIN: ("days",),
    RuleShape.DECIDE_BY: ("days",),
    RuleShape.PLAN_BY: ("months",),
    RuleShape.FIX_BY: ("months",),
    RuleShape.NO_CREDIT: (),
    RuleShape.BEFORE_NEXT_USE: ("months",),
    RuleShape.TENTH_A_YEAR: ("years",),
}

# Why a day is the last allowed one, for each shape that counts from the last test:
# ids of sentences. Of two limits on one day the first is told.
REASONS_OF_SHAPE: dict[RuleShape, tuple[str, ...]] = {
    RuleShape.CALENDAR_YEARS: (
        "due.year_gap",
        "due.year_end",
        "due.years_gap",
        "due.years_end",
    ),
    RuleShape.PLAIN_MONTHS: ("due.months",),
    RuleShape.SIX_A_YEAR: ("due.six_a_year", "due.six_a_year_days"),
}

MAY_STATE: dict[RuleShape, tuple[str, ...]] = {
    RuleShape.DECIDE_BY: ("months", "trigger"),
    RuleShape.PLAN_BY: ("days", "trigger"),
    RuleShape.FIX_BY: ("days", "trigger"),
}

# What may shorten an interval or open a re-test.
LAST_SHORTED = "last result shorted"
LAST_DOUBTFUL = "last result doubtful or shorted"
# What a clock after a bad result may count from, instead of from the result.
NEXT_REQUIRED_TEST = "next required test"
PERMIT_RECEIVED = "permit received"
# A fact that starts a clock by itself: no result of the whole joint shows it.
SIDE_LOST = "one side of a stud lost"
# Idle times: a limit that runs out in one asks for a test before the next use.
OUT_OF_USE = "out of use"
BACK_IN_USE = "back in use"

# A rule's column holds the place in this list; new words go to the end.
TRIGGERS: tuple[str, ...] = (
    LAST_SHORTED,
    LAST_DOUBTFUL,
    SIDE_LOST,
    "wrong lubricant",
    "fitting fault",
    "wrong part",
    "batch under suspicion",
    "too hot",
    "metal touching",
    "coating damage",
    "storm",
    "power fault",
    "painting",
    "source step",
    "water breakthrough",
    "work nearby",
    "wall loss",
    "flood",
    "reroute",
    "repair",
    NEXT_REQUIRED_TEST,
    PERMIT_RECEIVED,
    OUT_OF_USE,
    BACK_IN_USE,
)
# What a clock may count from.
OF_CLOCKS = (NEXT_REQUIRED_TEST, PERMIT_RECEIVED, SIDE_LOST)
