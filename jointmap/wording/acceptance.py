"""Sentences of units, limits, verdicts, studs, boundaries and joints."""

from jointmap.wording.boundary_states import SENTENCES as OF_BOUNDARIES
from jointmap.wording.potentials import SENTENCES as OF_POTENTIALS

_UNITS = {
    "unit.missing": "No value. Write a number and a unit of {quantity}: {accepted}.",
    "unit.none": "No unit. Write which of these is meant: {accepted}.",
    "unit.unknown": (
        "'{unit}' is not a unit known here. Accepted for {quantity}: {accepted}."
    ),
    "unit.wrong_kind": (
        "'{unit}' is a unit of {kind}, not of {quantity}. Accepted: {accepted}."
    ),
    "unit.ambiguous": "'{unit}' may mean {both}. Write which; accepted: {accepted}.",
    "unit.comma": (
        "'{text}' may be {one} or {other}. Write it without the comma, or with a "
        "point for the decimals."
    ),
    "unit.no_number": (
        "'{text}' is not a number with a unit. Write, for example, 12.5 and one of:"
        " {accepted}."
    ),
    "unit.too_long": "{found} letters are no number with its unit; at most {most} are"
    " read.",
    "unit.not_finite": "The number is too large to be meant. Check the exponent.",
    "unit.over_range": (
        "The meter was over its range. Write > and the top of the range, for "
        "example > 999 Mohm."
    ),
    "limit.method": "'{method}' is not a test method. Known: {accepted}.",
    "limit.no_number": (
        "A limit '{role}' needs a method that compares a number; '{method}' "
        "compares none."
    ),
    "limit.negative": "a limit below zero can decide nothing; accepted: 0 and more",
    "limit.installed": (
        "{value:ohm} for an installed joint: the ground runs beside it and no good "
        "joint reads more than ohms. Set at most {most:ohm}."
    ),
    "table.keys": "{name}: keys or columns are not those wanted: {wanted}.",
    "table.cells": "{name}: the number of cells is not that of the heading.",
    "table.twice": "{name} stands twice.",
    "table.no_source": "{name} has no source or no mark.",
    "table.unknown_source": "{name}: source '{source}' is not in the table of sources.",
    "table.unknown_method": "{name}: method '{method}' is not in the table of methods.",
    "table.word": "not one of the known; accepted: {accepted}",
    "table.number": "{name}: the value is not a number.",
}

_VISITS = {
    "verdict.gate_locked": "Gate locked: no reading. No date moves.",
    "verdict.no_access": "No access: no reading. No date moves.",
    "verdict.berth_occupied": "Berth occupied: no reading. No date moves.",
    "verdict.frozen_ground": "Frozen ground: no reading is valid. No date moves.",
    "verdict.flooded": "Flooded: no reading. No date moves.",
    "verdict.storm": "Storm: no work on the structures. No date moves.",
    "verdict.ac_too_high": "AC too high: the work stopped. No date moves.",
    "verdict.instrument_fault": "Instrument fault: no reading. No date moves.",
    "verdict.other_reason": (
        "No reading, for a reason given in the remark. No date moves."
    ),
    "verdict.ac_stop": (
        "AC of {compared:volt} is at or above the {against:volt} limit: the work "
        "must stop and the reading is not used."
    ),
}

_COMMON = {
    "verdict.no_reading": "The reading that this method needs is not on record.",
    "verdict.method_unknown": "This method is not in the table of methods.",
    "verdict.scope_unfit": "This method cannot decide what it was used on.",
    "verdict.stage_unfit": (
        "This method decides only before tie-in: afterwards the ground runs beside "
        "the joint."
    ),
    "verdict.not_installed": (
        "Said to be made on the bench, before tightening or before tie-in: this method "
        "decides only on what is installed. Read it again as installed."
    ),
    "verdict.tie_in_over": (
        "Said to be made before tie-in, but the joint was in duty by then: it proves "
        "nothing of it as installed. Correct the stage or the day, or read again."
    ),
    "verdict.leads_bad": (
        "A lead of this test point is known to be broken or crossed; a broken lead "
        "imitates isolation."
    ),
    "verdict.leads_not_proved": (
        "Read through leads that nobody has proved to touch the two sides: a broken "
        "lead imitates isolation. Prove the leads, then read again."
    ),
    "verdict.no_limit": "No limit is in force for this method and purpose.",
    "verdict.no_purpose": (
        "The boundary's purpose is not stated, so there is no pass mark."
    ),
    "verdict.bound_low": (
        "More than {compared:ohm} neither passes nor fails the {against:ohm} limit."
    ),
    "verdict.bound_high": (
        "Less than {compared:ohm} neither passes nor fails the {against:ohm} limit."
    ),
    "verdict.unclear": "The instrument's indication was unclear.",
    "verdict.spark_never": (
        "A spark test shows nothing useful and can damage a joint that only needed "
        "drying."
    ),
    "verdict.screen_only": "A quick screen: it never decides.",
    "verdict.source_read": (
        "The source's output was read; it says nothing of isolation."
    ),
}

_RESISTANCES = {
    "verdict.resistance_isolating": "{compared:ohm} meets the {against:ohm} limit.",
    "verdict.resistance_doubtful": (
        "{compared:ohm} is below the {against:ohm} limit: clean, dry and repeat; a "
        "film of moisture can do this."
    ),
    "verdict.resistance_contact": (
        "{compared:ohm} is metal contact (at most {against:ohm})."
    ),
    "verdict.joint_isolating": (
        "The joint itself is at least the {compared:ohm} read, the ground beside it"
        " included; the limit is {against:ohm}."
    ),
    "verdict.joint_doubtful": (
        "{compared:ohm} is below the {against:ohm} limit and above metal contact."
    ),
    "verdict.joint_contact": (
        "{compared:ohm} points to metal contact (at most {against:ohm})."
    ),
    "verdict.ohmmeter_installed": (
        "An ohmmeter across an installed joint measures the ground and all other "
        "metal too; it decides only on an arm or hose hanging free."
    ),
    "verdict.hanging_isolating": (
        "{compared:ohm}, hanging free, meets the {against:ohm} limit."
    ),
    "verdict.hanging_doubtful": (
        "{compared:ohm}, hanging free, is below the {against:ohm} limit: not to be "
        "used for transfer."
    ),
    "verdict.hanging_contact": (
        "{compared:ohm}, hanging free, is metal contact: not to be used for transfer."
    ),
}

_STUDS = {
    "verdict.stud_isolating": (
        "{compared:ohm} to this side meets the {against:ohm} limit."
    ),
    "verdict.stud_doubtful": (
        "{compared:ohm} to this side is below the {against:ohm} limit."
    ),
    "verdict.stud_contact": (
        "Metal contact to this side ({compared:ohm}): the side is lost."
    ),
    "verdict.stud_contact_installed": (
        "{compared:ohm} to this side: one side of the stud is lost, this one or the"
        " other through the ground."
    ),
    "verdict.stud_plain_side": (
        "This kit has no washer on this side: near zero is how it is built."
    ),
    "verdict.stud_ground_path": (
        "{compared:ohm} to the washer side of a one-side kit includes the ground: "
        "not provable by this method once installed."
    ),
    "verdict.layout_unknown": (
        "The kit's layout is not known, so a low reading to one side condemns nothing."
    ),
    "verdict.side_not_named": "Which side the stud was read to is not on record.",
    "stud.all_left": "{what} isolating on {left} of {possible} sides",
    "stud.plain_side": "no washer on side {side}: near zero there is how it is built",
    "stud.one_lost": "{what} isolating on {left} of {possible} sides, {side} lost",
    "stud.one_lost_other_not_provable": (
        "{what} isolating on {left} of {possible} sides, {side} lost; side {other} not "
        "provable by this method"
    ),
    "stud.all_lost": "{what} in metal contact: no isolating side left",
    "stud.doubtful": "{what}: a reading lies between the limits, sides left not known",
    "stud.not_read": (
        "{what}: not every side with a washer was read, sides left not known"
    ),
    "stud.layout_unknown": (
        "{what}: layout of the kit not known, sides left not known"
    ),
}

_OTHERS = {
    "verdict.leak_isolating": (
        "{compared:percent} of the test current crosses (at most {against:percent})."
    ),
    "verdict.leak_doubtful": (
        "{compared:percent} of the test current crosses, between the limits: look "
        "for a conductive fluid or a partial path."
    ),
    "verdict.leak_shorted": (
        "{compared:percent} of the test current crosses (over {against:percent})."
    ),
    "verdict.geometry_missing": (
        "Where the span lay is not on record; the wrong geometry turns the verdict "
        "round."
    ),
    "verdict.leak_out_of_range": (
        "{compared:percent} cannot be a share: check the span's factor and the "
        "geometry."
    ),
    "verdict.rf_isolating": "No short at this fitting.",
    "verdict.rf_shorted": (
        "A short at this fitting. A surge device across it reads the same: see "
        "whether one was connected."
    ),
    "verdict.rf_buried": (
        "The joint is buried: the signal travels a very short way. Test on leads."
    ),
    "verdict.path_apart": "The path was found apart.",
    "verdict.path_joining": "The path was found to join the two sides.",
}

SENTENCES: dict[str, str] = {
    **_UNITS,
    **_VISITS,
    **_COMMON,
    **_RESISTANCES,
    **_STUDS,
    **OF_POTENTIALS,
    **_OTHERS,
    **OF_BOUNDARIES,
}
