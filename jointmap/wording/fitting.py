"""Sentences on how a joint was fitted."""

SENTENCES: dict[str, str] = {
    "fitting.lubricant_not_recorded": "the lubricant is not on record",
    "fitting.lubricant_conducts": "wrong lubricant: '{lubricant}' names {filler}, which"
    " conducts; this kit allows: {allowed}",
    "fitting.lubricant_fits": "lubricant '{lubricant}' names no conductive filler",
    "fitting.torque_not_recorded": "the target torque is not on record, on the kit's"
    " sheet or in the fitting record",
    "fitting.torque_fits": "target torque {given:newton_metre}, kit {planned:newton_metre}",
    "fitting.torque_differs": "target torque {given:newton_metre} is not the kit's"
    " {planned:newton_metre}",
    "fitting.torque_unit_mix_up": "target torque {given:newton_metre} against the kit's"
    " {planned:newton_metre}: looks like N·m and lbf·ft mixed up",
    "fitting.proven": "tests before and after tightening are on record",
    "fitting.not_proven": "no record of tests both before and after tightening",
}
