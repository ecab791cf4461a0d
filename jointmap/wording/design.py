"""Sentences of the design check: what can never isolate, or should not stand there."""

SENTENCES: dict[str, str] = {
    "check.unknown": "No joint and no boundary is called '{name}'.",
    "check.nothing": "Nothing found.",
    "findings.options": (
        "{names} cannot be asked together with the other options; ask for one thing: a"
        " SUBJECT, --only late with --days, or --since"
    ),
    "since.unknown": (
        "no state of the register is meant by '{value}'; accepted: a day from {first}"
        " on, or a fingerprint of this register such as {last}"
    ),
    "since.summary": (
        "since {since} (entry {entry}): {new} new, {closed} closed, {otherwise} told"
        " otherwise, {corrected} records corrected"
    ),
    "since.new": "New: {kind}: {count}",
    "since.closed": "Closed: {kind}: {count}",
    "since.otherwise": "Told otherwise: {kind}: {count}",
    "since.corrected": "Corrected: {kind}: {count}",
    "rules.summary": "In force on {on}: {rules} rules, {limits} limits",
    "find.design_arc": (
        "stands where gas may be ({area}) and nothing on record prevents an arc there"
    ),
    "find.design_lining": (
        "wet service; no lined length on record for side {sides}: water may carry "
        "current around the gap"
    ),
    "find.design_joined": (
        "its two structures are joined elsewhere ({names}): no joint here can keep "
        "them apart"
    ),
    "find.design_surge": (
        "beside a power line and no surge protective device on record at this joint"
    ),
    "find.design_surge_beside": (
        "beside a power line and no surge protective device at this joint; what stands"
        " at other joints of the boundary ({names}) is too far away for a surge"
    ),
    "find.design_test_point": ("buried and no test point on record: it cannot be read"),
    "find.design_floating_ship": (
        "refused for ship/shore: {structure} floats, so a charge on it has no way to "
        "earth"
    ),
    "find.design_one_source": (
        "{names} feeds both sides: its own cables join them, unless each has a diode "
        "or a resistor; and interrupting it cycles both sides, so no shift can decide"
    ),
    "find.design_stud_count": ("stud {stud} was read; the device has {count} studs"),
}
