"""Words of the fitting worksheet."""

WORDS: dict[str, str] = {
    "title": "Fitting worksheet",
    "sides": "Side A: {a}. Side B: {b}.",
    "to_fit": "To be fitted",
    "stop": "Before the first nut is turned",
    "stop_whole": "Before pipe is opened or cut",
    "steps": "In this order",
    "numbers": "Numbers",
    "metric": "metric",
    "inch": "inch",
    "passes": "Tightening: {scheme}",
    "pass": "pass",
    "order": "order",
    "done": "done, by",
    "gaps": "gaps",
    "cross": "cross, as numbered outside the ring",
    "round": "round, clockwise from stud 1",
    "clock": "Stud 1 is the first clockwise of top, seen from side A to side B. Number"
    " in"
    " the ring: the stud. Outside: its turn in cross order.",
    "level": "On a level flange: first clockwise of plant north, seen from above.",
    "studs": "Each stud to each flange, bare metal, radio-frequency test",
    "marks": "Mark each box: /  no short,  X  short,  ?  unclear.",
    "to_a": "to A",
    "to_b": "to B",
    "cross_order": "Cross order of the studs",
    "standing_two": "standing out about"
    " {thicknesses:ratio;washer thickness|washer thicknesses} in all",
    "standing_one": "flush at side {other}, standing out at side {side} by less than"
    " the washer's thickness",
    "standing_unknown": "standing out at each isolating end by less than the washer's"
    " thickness",
    "one_side": "Only the studs' ends at side {side} are isolating: near zero to side"
    " {other} is by design.",
    "whole": "Whole joint",
    "wait": ", {hours:g} h or more later",
    "side_to_side": "side A to side B",
    "scheme": "no tightening scheme '{scheme}' in our tables; your own is written as"
    " its shares, 30/60/100/100, the last 100; known: {known}",
    "one_file": "{out} is one file, but {count:joint is|joints are} asked for:"
    " name a folder",
    "no_device": "no device on record at {tags}: load devices.csv first",
    "flange_to_flange": "flange A to flange B",
    "gasket_to_a": "gasket or its core to A",
    "gasket_to_b": "gasket or its core to B",
    "write_down": "Write down",
    "of_kit": "Kit's sheet governs: target torque {torque}. {share}",
    "stress": "About {share:percent} of yield by nut factor {factor:ratio}, plus or"
    " minus {scatter:percent}.",
    "wrong_target": "STOP, do not tighten by this figure: {why}.",
    "no_torque": "Target torque: take it from the kit's own sheet and write it here:",
    "pages": "page",
    "advises": "It advises, it does not authorise: local codes and licensed practice"
    " rule.",
    "ordinary": "the flange's ordinary stud, {length}, is too short",
    "stud_add": "least stud length: both flanges as measured, back to sealing face,"
    " plus",
    "stud_to_order": "stud length to order, for the thickest flanges allowed",
    "sleeve": "sleeve: both flanges as measured, plus",
    "sleeve_table": "sleeve, where both flanges are of least thickness",
    "hole_room": "hole offset at most (what the sleeve's wall leaves)",
    "centreline": "centreline offset at most",
    "parallelism": "gaps round the joint: largest less smallest, at most",
    "flatness": "out of flat at most, across and round the seat",
    "gap_at_rest": "gap at rest at most, before anything is drawn up",
    "draw_up": "torque to bring the faces to the gasket, at most",
    "threads": "threads past each nut, at least",
    "not_in_tables": "not in our tables: from the kit's sheet",
    "between": "{low} to {high}",
}

# Kind of device -> what to do, in order.
STEPS: dict[str, tuple[str, ...]] = {
    "flange kit": (
        "Kit against this sheet: size, class, layout, batch. Test gasket and sleeves on"
        " the bench, dry. All parts dry, clean, without burrs.",
        "Both faces clean; pitting repaired. Flanges aligned and spread before the"
        " gasket"
        " goes in; nothing forced.",
        "Studs, not headed bolts: a bolt's shoulder can break the sleeve. Turn each"
        " stud"
        " in by hand; a sleeve that binds is taken out and looked at.",
        "On each isolating end, from the nut: nut, its flat side to the washer;"
        " hardened"
        " steel washer; isolating washer; flange. No nut turns on laminate.",
        "Sleeve through both flanges, {standing}, clear of the steel washers.",
        "Lubricant on thread and nut face only: {lubricant}. No metal, graphite or"
        " other"
        " filler that conducts; none on sleeves, washers, gasket.",
        "Number the studs. All nuts hand tight first; then the passes; gaps after"
        " each.",
        "Prove each stud to flange, flange to flange and gasket to flange on bare"
        " metal by"
        " a radio-frequency test; an ohmmeter cannot tell here.",
    ),
    "monolithic joint": (
        "Test on the bench, dry, before it is lifted: insulation resistance at the"
        " voltage of the maker's sheet. Write down the reading.",
        "Not at a low point in wet service; arrow and lining the right way round.",
        "Set free of bending and twisting: the pipe is lined up before, not pulled to"
        " it.",
        "Welding return on the side that is being welded, each side its own, so that no"
        " welding current crosses the joint.",
        "Middle of the shell at most {shell:degc} (the maker's sheet governs): wet"
        " rags,"
        " thermometer, pauses between runs.",
        "Nothing clamped, hung or grounded across it; no sling round its middle.",
        "After drying, test again; test before it is coated over and buried.",
    ),
    "union": (
        "Test on the bench, dry, before it goes in. Write down the reading.",
        "No metal tape, no metal-filled paste on the threads across the gap.",
        "Pipe lined up before; nothing forced. Hold the fixed half while turning.",
        "No clamp, wire or tracing across it; prove it after fitting and before cover.",
    ),
    "coupling": (
        "Test on the bench, dry, before it goes in. Write down the reading.",
        "Pipe ends clean, round, apart: they must not touch inside the sleeve.",
        "No metal tape across the gap; no metal-filled paste.",
        "Restraint rods, if any, with their own isolating washers and sleeves.",
        "Nuts evenly by the maker's sheet; prove it after fitting and before cover.",
    ),
}

BLANKS: dict[str, tuple[str, ...]] = {
    "flange kit": (
        "kit serial, batch", "face A", "face B", "out of flat", "defect: depth, length",
        "flange A thickness", "flange B thickness", "gap at rest", "torque to draw up",
        "centreline offset", "parallel within", "hole, hole offset", "stud length",
        "sleeve length", "sleeve standing out", "washers from the nut",
        "steel washer", "threads past nut", "lubricant, nut factor",
        "torque tool, certificate", "start, end of dwell", "tests before",
        "instrument", "weather", "photos",
    ),
    "monolithic joint": (
        "serial", "bench reading, voltage", "instrument", "return clamp at",
        "warmest of shell", "reading after drying", "reading before burial",
        "coating by", "photos",
    ),
    "union": ("serial", "bench reading", "instrument", "after fitting", "photos"),
    "coupling": ("serial", "bench reading", "instrument", "after fitting", "photos"),
}  # fmt: skip
SIGNED = ("date", "contractor", "fitter", "witness")

SENTENCES: dict[str, str] = {
    **{f"worksheet.{id_}": text for id_, text in WORDS.items()},
    **{
        f"worksheet.step.{kind}.{number}": text
        for kind, steps in STEPS.items()
        for number, text in enumerate(steps, start=1)
    },
}
