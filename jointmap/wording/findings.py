"""Sentences of findings, summaries and tests that do not count."""

SENTENCES: dict[str, str] = {
    "page.training": "Training site with a fixed day ({on}); all data are invented.",
    "test.not_counted.visit": "visit without a reading ({outcome}): moves no date",
    "test.not_counted.instrument": "the instrument's certificate had ended: moves no"
    " date",
    "test.not_counted.method": "the method or the conditions cannot decide here:"
    " moves no date",
    "find.boundary_shorted": "shorted since a bad test on {first_bad} (last good:"
    " {last_good}); suspects: {count}; no joint is called shorted for it",
    "find.boundary_shorted_cause": "shorted since a bad test on {first_bad} (last good:"
    " {last_good}); cause found: {cause}",
    "find.past_limit": "last allowed day was {day}; {because}",
    "find.missed_year": "no counting test in {years}; the limit was {limit}, the next"
    " test: {next}{gap}",
    "find.missed_gap_kept": " (the gap in months was kept, the calendar year was not)",
    "find.close_to_limit": "tested {next}, {days} days before the limit {limit}",
    "find.temporary_bond": "{path} fitted {fitted}, no removal on record",
    "find.path_joining": "{path} ({what}) joins the two sides, last looked at"
    " {checked}",
    "find.stud_one_side": "stud {stud} isolating on {left} of {possible} sides"
    " ({tested})",
    "find.instrument_lapsed": "{method} of {tested} with {instrument}, certificate"
    " ended"
    " before: stands, does not count{exception}",
    "find.exception": " (accepted exception {number}: {why}{by_one})",
    "find.short_of_six": "fewer than {six} checks in {years}; each gap may have been"
    " kept, the count was not",
    "find.short_of_a_tenth": "{count} of {all} sections were tested in {year}, {wanted}"
    " is a tenth of them",
    "find.rules_contradict": "{one} says {says}, {other} says {unlike}, of the same"
    " subjects; the earlier date governs until one of them is ended",
    "find.one_day": "{method} of {tested}: {count} tests, {good} isolating and {bad}"
    " not; the one recorded last stands. Say which was as found and which as left",
    "find.many_a_day": "{method} of {tested}: {count} tests of one place; the same"
    " result counts once. Say whether that many were made, or one was sent again",
    "find.before_fitting": "{count} tests, the last of {tested}, are dated before the"
    " first device on record was fitted ({fitted}). Correct the day of fitting, or load"
    " the earlier device",
    "find.after_removal": "{count} tests, the last of {tested}, are dated after the"
    " last device on record was removed ({removed}). Correct the day of removal, or"
    " load the device fitted since",
    "find.after_duty": "{count} tests, the last of {tested}, are dated after the joint"
    " left duty ({ended}). Correct that day, or say what was tested",
    "find.nothing_fitted": "in duty, and its last device on record was removed on"
    " {removed}. Load the device fitted since, or take the joint out of duty",
    "find.no_first_day": "in duty from no day on record, and no device is on record: a"
    " reading of the boundary from before it came counts for it. Give it in_duty_on, or"
    " load its device",
    "find.deferral_unknown": "{number} of {decided_on} puts off the test of {what}"
    " '{key}', and nothing on record that is tested is called so",
    "find.person_lapsed": "{method} of {tested} by {person}, no qualification on record"
    " for that day",
    "find.copied_reading": "{same} of {count} readings by {person} on {tested} equal"
    " the"
    " reading before to the last digit",
    "find.impossible_travel": "{person} read {other} and {tag} on {tested},"
    " {distance:metre}"
    " apart, within {minutes} minutes",
    "find.entered_late": "{count} tests recorded on {recorded}, {least} to {most} days"
    " after they were made ({reason})",
    "find.cannot_decide": "{reason}",
    "find.no_basis": "{reason}",
    "find.no_purpose": "no purpose stated: no joint on it can be called isolating",
    "find.wet_no_lining": "wet service ({fluid}); lined length not on record for side"
    " {sides}: water may carry current around the gap",
    "find.photo_far": "the camera of '{view}' says it was {distance:metre} from the"
    " joint; look whether the photo shows this joint, or the position is wrong",
    "find.wall_loss": "wall loss found on {day}: {remark}",
    "find.cluster": "{count} shorted first seen in {area} between {first} and {last}:"
    " look for one cause",
    "find.decision_ends": "permission to be joined on purpose ends {until} ({by})",
    "find.held": "{column} as sent: {value}; {why}",
    "find.position_doubt": "as sent: {value}; {why}",
    "find.proposal": " Proposed: {proposal}.",
    "rule.calendar_years": "Once in every {years} calendar years, at most {months}"
    " months"
    " apart; both limits hold.",
    "rule.each_year": "Once each calendar year, at most {months} months apart; both"
    " limits"
    " hold.",
    "rule.plain_months": "At most {months} months apart.",
    "rule.six_a_year": "Six times each calendar year, at most {months} months and"
    " {days} days apart.",
    "rule.before_next_use": "At most {months} months apart; where they run out while"
    " out of use, before the next use.",
    "rule.a_tenth_a_year": "A tenth of the separately protected sections each calendar"
    " year, all of them within {years} years.",
    "rule.after_occurrence": "Within {days} days after: {trigger}.",
    "rule.multiplier": "The owner's interval times {factor} while it stands:"
    " {trigger}.",
    "rule.restore": "Two good deciding tests at least {months} months apart restore the"
    " interval.",
    "rule.floor": "No shortened interval is under {months} months.",
    "rule.margin": "Planned {days} days before the last allowed day.",
    "rule.decide_by": "Decided within {days} days of the result.",
    "rule.plan_by": "Remedy planned within {months} months of the result.",
    "rule.fix_by": "Put right within {months} months of the result.",
    "rule.no_credit": "A boundary test read at another joint does not count as a test"
    " of this device.",
    "index.summary": "{joints} joints on {boundaries} boundaries; {findings} findings.",
    "way.map": "Map of all joints",
    "way.due": "Due list",
    "way.boundaries": "Electrical boundaries",
    "way.findings": "Findings",
    "way.held": "Values awaiting decision",
    "way.predicted": "Shorts as predicted and as found; classes that fail early",
    "way.sources": "Rules and limits in force, with sources",
    "way.month": "Routes of {month}",
    "way.dossiers": "Dossiers by tag",
    "way.shorted": "Boundaries shorted",
    "way.late": "Past the last allowed day",
    "way.late_of": "joints {joints}; paths, boundaries, sources {others}",
    "unit.joints": "joints {count}",
    "unit.boundaries": "boundaries {count}",
    "unit.findings": "findings {count}",
    "unit.lines": "lines {count}",
    "unit.tests": "tests {count}",
    "unit.values": "values {count}",
    "way.missed": "Calendar years missed",
    "way.lapsed": "Tests with a lapsed instrument",
    "boundary.cause": "Found: {cause}.",
    "boundary.no_joint": "No joint is called shorted without a reading of its own.",
    "boundary.joined": "Joined on purpose by {by}{by_one}, {from_on} to {until}.",
    "boundary.joined_word": "joined on purpose",
    "boundary.merged": "{names} are one metal now",
    "joint.both": "{one} {other}",
    "joint.no_due": "The joint is {state} and is due for nothing",
    "joint.position_doubt": "the position awaits a decision",
    "held.how": "jointmap waiting SITE --accept N --by CODE --reason WHY, or"
    " --refuse N",
    "held.decided": "line {number}: {what}",
    "held.no_line": "there is no line {number} among the values awaiting decision",
    "held.only_positions": "line {number} holds no proposal that could be accepted;"
    " load"
    " the row again with correction_reason",
    "demo.no_sample": "the sample site is not beside {place}; install jointmap again",
    "stud.summary": "{whole} of {count} studs isolate on every side they have;"
    " {open} cannot be told",
    "missing.device": "what is fitted",
    "missing.installation": "installation record",
    "missing.position": "position",
    "missing.post": "kilometre post",
    "missing.layout": "layout of the kit",
    "missing.purpose": "purpose of the boundary",
    "missing.severity": "severity of service",
    "missing.consequence": "consequence class",
    "missing.baseline": "acceptance test",
    "missing.lubricant": "lubricant used",
    "missing.torque": "torque target",
    "missing.photos": "photos",
    "missing.witness": "witness of the installation",
    "missing.tests": "any test",
    "month.estimated": "Travel is partly estimated: straight line times a factor.",
    "month.by_road": "Travel by the roads on record.",
    "month.no_route": "no stop",
    "month.day_off": "no work",
    "month.sheet": "sheet",
    "month.homeless": "No route for {crews}: no place of the depot is on record;"
    " load it with positions.csv (subject crew).",
    "month.summary": "{stops} stops on {sheets} crew days; {left} not planned.",
}
