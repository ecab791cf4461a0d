"""Sentences on how a joint was fitted."""

# check: (what it is about, what it reads, the limit, why it matters where it fails)
_MEASURED: dict[str, tuple[str, str, str, str]] = {
    "stud_count": (
        "stud count", "{value:count}", "the flange has {high:count;hole|holes}",
        "the kit or the flange on record is another one",
    ),
    "stud_size": (
        "stud diameter", "{value:inch}", "the flange takes {high:inch}",
        "the kit or the flange on record is another one",
    ),
    "flatness": (
        "worse face out of flat by", "{value:metre}", "at most {high:metre}",
        "the gasket is not pressed all round",
    ),
    "face_defect": (
        "deepest defect on a face", "{value:metre}", "at most {high:metre} for its"
        " length across the seat", "what is inside can creep out under the gasket",
    ),
    "centreline": (
        "centreline offset", "{value:metre}", "at most {high:metre}",
        "studs and sleeves are forced",
    ),
    "parallelism": (
        "faces out of parallel by", "{value:metre}", "at most {high:metre}",
        "the gasket is pressed on one side only",
    ),
    "gap_at_rest": (
        "gap at rest", "{value:metre}", "at most {high:metre}, two gasket thicknesses",
        "the faces are pulled together by force",
    ),
    "draw_up": (
        "drawing the faces together took", "{value:percent} of the target torque",
        "at most {high:percent}", "the pipe is forced, and the studs carry it",
    ),
    "hole_offset": (
        "hole offset", "{value:metre}", "stud and sleeve leave {high:metre}",
        "the edge of the hole cuts the sleeve",
    ),
    "sleeve_length": (
        "sleeve length", "{value:metre}", "{low:metre} to {high:metre}",
        "shorter bares the flange's edge, longer stands on the steel washers",
    ),
    "sleeve_projection": (
        "sleeve standing out at each end", "{value:metre}", "up to {high:metre}",
        "inside the hole the stud can touch the flange; past the washer the sleeve"
        " takes the load",
    ),
    "stud_length": (
        "stud length", "{value:metre}", "{low:metre} to {high:metre}",
        "{threads:threads} past each nut by reckoning",
    ),
    "threads": (
        "threads past each nut", "{value:count}", "at least {low:count}",
        "the nut may not be full",
    ),
    "dwell": (
        "wait before the last round", "{value:second}", "at least {low:second}",
        "the laminate had not settled",
    ),
    "washer_load": (
        "pressure on the isolating washer", "{value:pascal}", "at most {high:pascal},"
        " half its strength", "a crushed washer turns to powder",
    ),
    "gasket_load": (
        "pressure on the gasket", "{value:pascal}", "at most {high:pascal}",
        "a crushed gasket isolates no more",
    ),
    "kit_temperature": (
        "service temperature", "{value:degc}", "the kit is rated {high:degc}",
        "the kit is not for this service",
    ),
    **{
        f"{part}_temperature": (
            "service temperature", "{value:degc}",
            f"the {part}'s material stands {{high:degc}}", "it loses strength",
        )
        for part in ("gasket", "sleeve", "washer")
    },
    **{
        f"pass_{number}": (
            f"pass {number}", "{value:percent} of the target", "{scheme} asks for"
            " {low:percent} to {high:percent}", "the gasket was not brought up evenly",
        )
        for number in (1, 2, 3, 4)
    },
}  # fmt: skip


def _sentences(name: str) -> dict[str, str]:
    what, reads, limit, why = _MEASURED[name]
    return {
        f"fitting.{name}.meets": f"{what} {reads}; {limit}",
        f"fitting.{name}.fails": f"{what} {reads}, but {limit}: {why}",
        f"fitting.{name}.blank": f"{what}: not on record, or a size it hangs on is not",
        f"fitting.{name}.table": f"{what}: not in our tables; judge by the kit's sheet",
    }


LABELS: dict[str, str] = {
    "layout": "isolating sides of the studs",
    "faces": "flange faces",
    "washer_order": "order of the washers",
    "lubricant": "lubricant",
    "tool": "torque tool",
    "torque": "target torque",
    "stress": "stud stress",
    "people": "fitter and witness",
    "proven": "tests before and after",
    "photos": "photos",
    **{name: row[0] for name, row in _MEASURED.items()},
}

SENTENCES: dict[str, str] = {
    "fitting.lubricant_not_recorded": "the lubricant is not on record",
    "fitting.lubricant_conducts": "wrong lubricant: '{lubricant}' names {filler}, which"
    " conducts; this kit allows: {allowed}",
    "fitting.lubricant_unnamed": "'{lubricant}' names no lubricant; this kit allows:"
    " {allowed}",
    "fitting.same_day": "lubricant on record: '{lubricant}'. On {day} the same fitter"
    " used '{used}' at {tag}: ask which it was, or open one nut and look",
    "fitting.lubricant_fits": "lubricant '{lubricant}' names no conductive filler",
    "fitting.torque_not_recorded": "the target torque is not on record, on the kit's"
    " sheet or in the fitting record",
    "fitting.torque_fits": "target torque {given:newton_metre}, kit"
    " {planned:newton_metre}",
    "fitting.stud_length.ordinary": "stud length {value:metre} is that of the flange's"
    " ordinary stud, too short for a kit: {threads:threads} past each nut by"
    " reckoning, {low:metre} is needed",
    "fitting.torque_differs": "target torque {given:newton_metre} is not the kit's"
    " {planned:newton_metre}",
    "fitting.torque_unit_mix_up": "target torque {given:newton_metre} against the kit's"
    " {planned:newton_metre}: looks like N·m and lbf·ft mixed up",
    "fitting.proven": "tests before and after tightening are on record",
    "fitting.proven_by_ohmmeter": "proven by '{after}': an ohmmeter cannot tell here,"
    " prove each stud by a radio-frequency test on bare metal",
    "fitting.not_proven": "no record of tests both before and after tightening",
    "fitting.layout.meets": "{value:count;isolating side|isolating sides} to a stud",
    "fitting.layout.blank": "not on record which ends of the studs are isolated",
    "fitting.faces.meets": "faces: side A {side_a}; side B {side_b}",
    "fitting.faces.fails": "a face was damaged: side A {side_a}; side B {side_b}",
    "fitting.faces.blank": "the condition of both faces is not on record",
    "fitting.washer_order.meets": "washers from the nut: {order}",
    "fitting.washer_order.fails": "washers '{order}': a steel washer must lie between"
    " nut and isolating washer",
    "fitting.washer_order.blank": "the order of the washers is not on record",
    "fitting.tool.meets": "the torque tool was in date",
    "fitting.tool.named": "the torque tool is on record",
    "fitting.tool.fails": "the torque tool's certificate did not cover the day",
    "fitting.tool.blank": "the torque tool is not on record",
    "fitting.people.meets": "fitter and witness are on record",
    "fitting.people.blank": "fitter and witness are not both on record",
    "fitting.photos.meets": "{value:count;photo|photos}",
    "fitting.photos.blank": "no photo on record",
    "fitting.stress.meets": "stud stress {value:percent} of yield by nut factor"
    " {factor:ratio}; {custom_low:percent} to {custom_high:percent} is custom for"
    " ordinary gaskets, the kit's own target governs",
    "fitting.stress.fails": "stud stress {value:percent} of yield by nut factor"
    " {factor:ratio}: the stud stretches for good; ask whose figure and unit the"
    " torque is",
    "fitting.stress.blank": "stud stress: torque, stud size or grade is not on record",
    "fitting.stress.table": "stud stress: size or grade not in our tables",
    "fitting.too_few_studs": "{count:stud makes|studs make} no order;"
    " at least 2 are needed",
    "fitting.too_many_studs": "{count:stud is|studs are} on no flange; at most"
    " {most} are accepted",
    "fitting.summary": "{meets} of {asked:fact|facts} of the fitting record"
    " {meets:~meets|meet}; {fails} {fails:~does|do} not, {blank} not on record,"
    " {table} not in our tables",
    **{id_: text for name in _MEASURED for id_, text in _sentences(name).items()},
}  # fmt: skip
