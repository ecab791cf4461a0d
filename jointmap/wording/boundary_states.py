"""Sentences of boundaries, suspects and joints."""

SENTENCES: dict[str, str] = {
    "boundary_state.isolating": "Isolating at every place that was read.",
    "boundary_state.devices_good": (
        "Isolating: every device by its own test; no test of the boundary itself."
    ),
    "boundary_state.paths_not_known": (
        "Every device is good by its own test, but a parallel path is not known to "
        "be apart and the boundary itself was not tested."
    ),
    "boundary_state.part_not_tested": (
        "Good where it was read; other places on this boundary were not read, and "
        "credit stops at the reach of a reading."
    ),
    "boundary_state.doubtful": "A reading lies between the limits.",
    "boundary_state.shorted": "Boundary shorted, suspects: {count}.",
    "boundary_state.cause_found": (
        "Boundary shorted, cause found; retest when it is removed."
    ),
    "boundary_state.joined_on_purpose": "Joined on purpose.",
    "boundary.never_good": "no day on record on which every place was good",
    "boundary.none_suspected": (
        "No suspects: it is joined on purpose until {until}, so nobody is suspected."
    ),
    "boundary.none_suspected_open": (
        "No suspects: it is joined on purpose, with no end on record, so nobody is "
        "suspected."
    ),
    "boundary_state.not_decided": "Tested, but no test could decide.",
    "boundary_state.not_tested": "Not tested.",
    "suspect.open": "Not ruled out.",
    "suspect.third_structure": (
        "Not ruled out; on a way round through a third structure."
    ),
    "suspect.cause_elsewhere": (
        "A cause was found elsewhere; not yet shown good itself."
    ),
    "suspect.device_good": "Ruled out: good by a test of its own since.",
    "suspect.boundary_good_here": (
        "Ruled out: a good reading of the boundary reaches it."
    ),
    "suspect.path_apart": "Ruled out: found apart since.",
    "suspect.device_shorted": "Cause: shorted by a test of its own.",
    "suspect.path_joining": "Cause: found joining the two sides.",
    "why.rests_on": "The verdict rests on this test, {where}:",
    "why.newest": "The newest test of the joint or its boundary is another, {where}:",
    "why.here": "read here",
    "why.no_place": "read at no place on record",
    "why.read_at": "read at {joint}, {away}",
    "why.metre": "{count} m away",
    "why.distance_unknown": "how far away is not known",
    "why.credited": ": credited",
    "why.no_credit": ": no credit",
    "why.next_suspect": (
        "Next: find which suspect joins the sides of {boundary}; jointmap boundary "
        "SITE {boundary} has the checks in order."
    ),
    "why.next_none": "Next: nothing is due; {tag} is {state}.",
    "why.next_no_basis": (
        "Next: adopt a rule, state the purpose of {boundary}, or put a test or the "
        "day of fitting on record: no date has a basis."
    ),
    "why.next_test": "Next: test {tag} by {day}: {method}.",
    "joint_state.device_test": "By a test of this device on {tested}: {reason}",
    "joint_state.repair_not_proved": (
        "Repair not proved: bad on {tested}, {repaired}, and no good test since by a "
        "method valid for an installed joint. The last one: {reason}"
    ),
    "joint.repaired": "repaired on {day}",
    "joint.replaced": "a new device fitted on {day}",
    "joint_state.boundary_test": (
        "By a test of the boundary read here on {tested}: {reason}"
    ),
    "joint_state.credited": (
        "By a test of the boundary on {tested}, read elsewhere in its test group: "
        "{reason}"
    ),
    "joint_state.suspect": (
        "Its boundary is shorted and it is one of {count} suspects."
    ),
    "joint_state.only_suspect": (
        "Its boundary is shorted and it is the only suspect on record; metal that is "
        "not on record may be the cause as well."
    ),
    "joint.tried_since": "Tested again on {tested}, but not decided: {reason}",
    "suspect.new": "New on {day}, after the last good reading.",
    "boundary.doubtful_at": "{where}, {tested}: {reason}",
    "joint_state.cause_elsewhere": (
        "Its boundary is shorted and the cause was found elsewhere; retest when "
        "that is removed."
    ),
    "joint_state.joined_on_purpose": "Its boundary is joined on purpose.",
    "joint_state.not_decided": "Tested on {tested}, but not decided: {reason}",
    "joint_state.not_tested": "No test of the device fitted now.",
}
