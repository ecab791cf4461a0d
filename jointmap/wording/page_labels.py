"""Fixed words of pages and sheets, by id.

Counts stand after a colon, so that no plural forms are needed.
"""

from jointmap.wording.table_labels import COLUMNS, NOTHING

_FRAME: dict[str, str] = {
    "skip": "Skip to content",
    "way_back": "Way back",
    "contents": "On this page",
    "as_of": "As of {on}, as known on {known}",
    "advises": "This page advises, it does not authorise: local codes and licensed "
    "practice rule.",
    "local_codes_rule": "This sheet advises, it does not authorise. Local codes, "
    "permits and licensed practice rule.",
    "fingerprint": "Fingerprint of the register: entry {entry},",
    "made_by": "Made by jointmap {version}.",
    "not_on_record": "not on record",
    "none": "-",
    "no": "no",
    "to_day": " to ",
    "as_written": "written as: {text}",
}

_DOSSIER: dict[str, str] = {
    "dossier": "Dossier of the isolating joint",
    "last_look": "Last look",
    "state": "State",
    "dossier_of": "{tag}, dossier",
    "place": "Place",
    "position": "Position",
    "device": "Device",
    "studs": "Studs",
    "tests": "Tests",
    "next_date": "Next date",
    "paths": "Parallel paths",
    "occurrences": "What happened near here",
    "decisions": "Decisions",
    "corrections": "Corrections",
    "altered": "What was otherwise until a day",
    "files": "Pictures and files",
    "no_files": "No file is attached.",
    "file": "File",
    "picture": "Picture",
    "taken": "taken {on}, by the camera's clock",
    "attached": "attached {on}",
    "taken_on": "Taken, by the camera's clock",
    "attached_on": "Attached",
    "file_is": "{media_type}, {size}, SHA-256 {sha256}",
    "download_only": "For download only: {why}.",
    "copy_made_anew": "A copy made anew of what can be seen. The file as sent is kept"
    " below the site's folder, and no page opens it.",
    "type_of_file": "Type, by its content",
    "size_of_file": "Size as sent",
    "kept_at": "Kept as sent at",
    "sha256": "SHA-256",
    "missing": "What is not on record",
    "cautions": "Cautions",
    "which_one": "Which one",
    "boundary_says": "What the boundary shows",
    "electrode_place": "Where the electrode stands",
    "access": "Access",
    "service": "Service",
    "coordinates": "Coordinates",
    "accuracy": "Accuracy",
    "captured": "Numbers as captured",
    "crs": "Reference system of capture",
    "capture_method": "Method of capture",
    "captured_on": "Captured on",
    "location_map": "Where {tag} is",
    "aliases": "Other names of this joint",
    "serial_is": "serial {serial}",
    "no_serial": "serial not on record",
    "fitted_from_to": "Fitted on {on}, removed:",
    "in_place": "no, still in place",
    "layout_is": "Layout of the kit:",
    "installation_of": "Installation record of the device fitted on {on}",
    "installed_on": "Installed on",
    "stud_number": "Stud {number}",
    "steps_caption": "Every step to this day; the earliest day governs.",
    "governs": "governs",
    "limits_so_far": "Limits so far",
    "limits_caption": "Each limit as it stood then, the newest first. Days off duty "
    "are not counted as late.",
    "paths_why": "Other metal across this boundary. Most shorts are a way around the "
    "joint: look here before the joint is condemned.",
    "limit_is": "limit {limit}",
    "does_not_count": "does not count",
    "days_later": "{days:day|days} after the test",
    "one_day_later": "1 day after the test",
    "second_person": "with {who}",
    "authority_of": "authority: {who}",
}

_BOUNDARY: dict[str, str] = {
    "boundaries": "Electrical boundaries",
    "boundaries_why": "An electrical boundary is a pair of structures to be kept "
    "apart. All joints on it are in parallel: a short shows on the boundary, and no "
    "joint is called shorted by it.",
    "dossiers": "Dossiers by tag",
    "dossiers_why": "One page per joint: place, device, fitting, tests, next date.",
    "dossier_count": "Joints: {count}",
    "boundary_count": "Boundaries: {count}",
    "boundary_of": "{name}, electrical boundary",
    "electrical_boundary": "Electrical boundary",
    "last_good": "Last good",
    "never_good": "no day on record on which every place was good",
    "first_bad": "First bad",
    "joined_on_purpose": "Joined on purpose",
    "diagram": "Structures, joints and paths of {name}",
    "site_diagram": "Structures and the boundaries between them; the gap in each sign "
    "shows the verdict, heavy lines and boxes are one metal now",
    "suspects": "Suspects",
    "suspect_count": "suspects: {count}",
    "suspects_why": "Each may carry the short. None is called shorted until a test of "
    "that device or path alone shows it.",
    "one_metal_now": "One metal now",
    "clocks": "Clocks after the bad result",
    "clocks_of_site": "Clocks after bad results",
    "clocks_of_site_why": "What must be decided, planned for or put right. Routes do "
    "not plan this work.",
    "clocks_end": "They end with a good test as left, by a method that is valid for an "
    "installed joint; until then nothing counts as repaired.",
    "section_current": "Current of the sections",
    "not_read": "no reading on record: {names}",
    "statement_of_boundary": "Boundary statement",
    "statement_of": "{name}, boundary statement",
    "since_when": "Since when",
    "issued_by": "Counts and days are from the register; every number opens its "
    "evidence on the boundary's own page. Issued by, day, signature:",
    "next_checks": "What to check next",
    "next_checks_why": "Chances are by Bayes from the rate of each kind, this site's "
    "own count, the time since the last good reading and what was found since; with "
    "what is left they sum to 100 %. The rates are the owner's choice. Outside the kit "
    "first, then what tells most a minute.",
    "look_first": "If it reads shorted, look in this order",
    "look_1": "Temporary bonds and surge protective devices: open at the test link one "
    "after the other, read again each time.",
    "look_2": "Visible metal across the joint: supports, tubing, conduit, cable trays, "
    "ladders, cladding, things leaning on it.",
    "look_3": "Earth wires and instruments.",
    "look_4": "A test of the device alone, in place, by a method that can decide.",
    "look_5": "Stud by stud, to side A and to side B.",
    "look_6": "Only then is anything opened, by procedure and with a temporary bond "
    "across the gap.",
}

_DUE: dict[str, str] = {
    "due_list": "Due list",
    "due_all": "Everything with a date, the earliest last allowed day first.",
    "due_until": "Everything due until {until}, the earliest last allowed day first.",
    "due_why": "A line is one reading: what it is made for, and the joints whose dates "
    "it moves, too, each with a due state of its own. "
    "A test on the last allowed day is in time.",
    "due_counts": "Counts of this list",
    "state_count": "{state}: lines {lines}, joints {joints}",
    "together": "Together",
    "days_left": "{days:day|days} left",
    "days_past": "{days:day|days} past",
    "one_day_left": "1 day left",
    "one_day_past": "1 day past",
    "same_reading": "same reading credits",
    "no_basis_why": "No rule in force applies to these, or there is no day to count "
    "from. No date is guessed: a person has to adopt a rule, state the purpose, or put "
    "a test or the day of fitting on record.",
    "before_use_why": "These are out of use and their limit has run out meanwhile. "
    "Each is to be tested before it is used again.",
}

_ROUTE: dict[str, str] = {
    "route_sheet": "Route sheet",
    "route_of": "Route sheet {crew} {day}",
    "stops_and_joints": "Stops: {stops}.",
    "day_frame": "From {depot} at {leave}, back at {back}.",
    "people": "Crew members",
    "distance": "Way by road",
    "instruments": "Instruments to take",
    "interruptions": "Current sources to be interrupted",
    "access_today": "Keys, permits, escorts today",
    "order_of_stops": "Order of stops",
    "arrive": "Arrive",
    "arrive_leave": "Arrive {arrive}, leave {leave}.",
    "route_map": "The way of the day",
    "no_last_readings": "Last readings and limits are left off on purpose: write what "
    "you read.",
    "stop_label": "Stop {order}, {tag}",
    "not_to_be_taken": "Not to be mistaken for",
    "ac_first": "AC first, hands off the metal",
    "ac_stop": "At {limit} AC or more: stop, touch nothing, report.",
    "ac_stop_no_limit": "AC limit of the site: not on record. Ask before you start.",
    "ac_a": "Side A to ground",
    "ac_b": "Side B to ground",
    "ac_between": "Side A to side B",
    "cannot_prove": "It cannot prove",
    "protected_sides": "Protected sides",
    "permit": "Permit hours",
    "sources_to_interrupt": "Interrupt",
    "also_covers": "Same reading covers",
    "write_down": "Write down",
    "last_three": "Tag on the joint, last 3 signs",
    "time_of_test": "Time",
    "person": "Person",
    "ground_and_weather": "Ground, weather",
    "readings_at": "{tag}: read",
    "studs_of": "{tag}: stud",
    "as_found": "As found",
    "as_left": "As left, if anything was changed",
    "each_stud": "Each stud, studs: {count}",
    "stud_one": "Seen from side A to side B, stud 1 is the first one clockwise of top "
    "dead centre. Level flange: clockwise of plant north, seen from above. Write the "
    "unit; above range: > and the range.",
    "if_not_tested": "Not tested, because (the date does not move)",
    "remark_box": "What was moved or changed, what was odd",
    "end_of_day": "End of the day",
    "lines_done": "Lines done",
    "lines_not_done": "Lines not done",
    "found_not_listed": "Joints found that are on no list: place, photo number",
    "signed_by": "Signed by",
    "day_and_time": "Day and time",
}

_MONTH: dict[str, str] = {
    "month_of": "Month {month}",
    "crews_and_days": "Crews and days",
    "cell_stops": "stops: {stops}",
    "unserved": "On no route",
    "unserved_count": "Lines on no route: {count}",
    "interruptions_why": "Call-out to the owners of the sources: no joint listed "
    "here is tested on a day its source is not interrupted.",
    "not_by_shift": "To be tested by a potential shift, and no source can make one",
    "put_off": "Put off by a decision",
    "access_list": "Keys, permits, escorts, windows",
    "weekday_0": "Mon",
    "weekday_1": "Tue",
    "weekday_2": "Wed",
    "weekday_3": "Thu",
    "weekday_4": "Fri",
    "weekday_5": "Sat",
    "weekday_6": "Sun",
}

_OVERVIEW: dict[str, str] = {
    "isolating_joints": "isolating joints",
    "register_of": "Register of isolating joints, {site}",
    "verdict_counts": "Joints by verdict",
    "ways_in": "Ways in",
    "changed_lately": "What changed in the last 30 days",
    "changed_all": "All of it: jointmap findings SITE --since {day}.",
    "changed_more": "and {count} more",
    "look_at_these": "Look at these",
    "finding_count": "{kind}: {count}",
    "all_of_them": "all {count}",
    "looked_for": "Looked for, none found:",
    "findings": "Findings",
    "findings_why": "What the register shows that a person should look at. "
    "Findings: {count}",
    "awaiting_decision": "Awaiting decision",
    "awaiting_why": "Values that look wrong wait here with a proposal. Nothing is "
    "changed until a person decides; the records stand without them. Values: {count}",
    "rules_and_limits": "Rules and limits in force",
    "in_force_why": "Verdicts and dates on these pages use only what stands here. "
    "Each was put in force by a dated decision.",
    "rules": "Rules for dates",
    "limits": "Limits for verdicts",
    "marks": "What the marks mean",
    "marks_mean": "seen: the text was read. from memory: recalled, to be checked "
    "against the text before it is relied on. common practice, no source: usual in the "
    "trade, no text found. owner's choice: set by the owner of the site.",
}

_TEXT: dict[str, str] = {
    "text_foot": "Fingerprint: entry {entry}, {fingerprint}",
}

PAGES: dict[str, str] = {
    **_FRAME,
    **COLUMNS,
    **_DOSSIER,
    **NOTHING,
    **_BOUNDARY,
    **_DUE,
    **_ROUTE,
    **_MONTH,
    **_OVERVIEW,
    **_TEXT,
}
