"""Sentences on files, rows and cells: what is wrong and what would be accepted."""

SENTENCES: dict[str, str] = {
    "file.unknown_sheet": "the file name does not say what sheet it is; accepted:"
    " {accepted} (a suffix such as joints_north.csv is fine)",
    "file.suffix": "this sheet is read from a file that ends in {accepted}; save the"
    " table so and send that",
    "file.not_commas": "{found} stand between the cells; accepted: commas (save as CSV"
    " UTF-8, comma delimited)",
    "file.empty": "the file is empty; accepted: a heading line and rows below it",
    "file.binary": "this is no text file; save the table as CSV in UTF-8 and send that",
    "file.encoding": "bytes {bytes} are no UTF-8 text; save the file as UTF-8",
    "file.not_csv": "this is no sound CSV: a quote is not closed, or one inside a cell"
    " is not written twice",
    "file.cells": "the row has {found} cells and the heading {expected}; put cells that"
    " hold a comma in quotes",
    "file.not_geojson": "this is no GeoJSON collection of lines ({error})",
    "feature.none": "this is no GeoJSON collection of lines: where its features stand,"
    " this was found: {found}; accepted: an object with a list of features",
    "feature.object": "feature {number} is {found}; accepted: an object with properties"
    " and geometry",
    "feature.properties": "the properties of feature {number}: {found}; accepted: an"
    " object of names and values",
    "feature.geometry": "the geometry of feature {number}: {found}; accepted: an object"
    " with type LineString and coordinates",
    "feature.type": "feature {number}: geometry is {found}, LineString is accepted",
    "feature.coordinates": "the coordinates of feature {number}: {found}; accepted: a"
    " list of two points or more, each [longitude, latitude]",
    "feature.point": "point {point} of feature {number}: {found}; accepted: [longitude,"
    " latitude], two plain numbers (true and false are none)",
    "file.not_toml": "this is no sound TOML ({error})",
    "file.unknown_column": "unknown column; accepted: {accepted}",
    "file.missing_column": "a required column is missing; the heading has: {found}",
    "file.column_twice": "the column stands twice in the heading; keep one",
    "file.not_found": "there is no such file",
    "file.outside": "accepted: a place inside the folder of the sheet, such as"
    " photos/front.jpg",
    "cell.missing": "the value is missing and the row cannot stand without it",
    "cell.word": "not a word of this column; accepted: {accepted}",
    "cell.day": "not a day; accepted: year-month-day, such as 2026-05-15",
    "cell.instant": "not an instant; accepted: UTC with Z, such as"
    " 2026-05-15T09:30:00Z",
    "cell.truth": "accepted: yes or no",
    "cell.whole": "not a whole number; accepted: digits only",
    "cell.number": "not a number; accepted: digits with a decimal point",
    "cell.bound": "this column takes one number, without < or >",
    "bound.end": "{end:{unit}}",
    "cell.beyond": "hardly meant so; accepted: at least {least:{unit}} and at most"
    " {most:{unit}} ({source})",
    "cell.impossible": "this cannot be; accepted: at least {least:{unit}} and at most"
    " {most:{unit}} ({source})",
    "cell.day_beyond": "accepted: at least {first} and at most {last} ({source})",
    "position.incomplete": "half a position; accepted: latitude and longitude, or"
    " easting and northing with crs (such as EPSG:32623)",
    "adopted.catalogue": "accepted: {accepted}",
    "adopted.decision": "a model's decision names the model: subject model, subject_key"
    " {name} in decisions.csv; leave this cell blank",
    "adopted.name": "no such name in the catalogue of {catalogue}; see"
    " docs/reference for the names",
    "row.unknown_reference": "no {kind} of this name is on record; load it first, or"
    " correct the name",
    "row.twice": "the same {kind} stands twice in this delivery (first in {first});"
    " keep one row",
    "row.test_twice": "the same test stands twice in this delivery (first in {first});"
    " keep one row, or give each its own line_id if both were made",
    "row.after_now": "the day lies after {now}, when this was loaded; correct the day",
    "row.instant_after_now": "the instant lies after {now}, when this was loaded;"
    " correct the instant",
    "row.other_day": "at the site this instant is on {day}, but tested_on is"
    " {tested_on}; correct one of the two",
    "row.cycling_and_steady": "this source is said to cycle, too; accepted: each source"
    " in one of the two columns",
    "row.duty_to_come": "a joint is in duty from a day up to today ({today}); accepted:"
    " such a day, or a state before duty (planned, fitted, awaiting acceptance)",
    "row.before_fitted": "tested on {tested_on}, but no device was fitted at {joint} by"
    " then (first fitted {fitted_on}); correct the day, or load the earlier device",
    "row.after_removed": "tested on {tested_on}, but the last device at {joint} was"
    " removed on {removed_on}; correct the day, or load the device fitted since",
    "row.no_device": "no device is on record at {joint}, so nothing can have been"
    " tested there; load its device first",
    "row.unknown_method": "no such test method; accepted: {accepted}",
    "row.stud_beyond": "stud {stud} of {count}; stud numbers run from 1 to {count}",
    "row.fed_twice": "this structure is named already; name each structure that the"
    " source feeds once",
    "row.reversed": "{value} lies before {first} ({start}); correct one of the two",
    "row.device_overlap": "another device was in service at {joint} then: fitted"
    " {fitted_on}, until {until} [{origin}]; give that one its removed_on first, or"
    " correct the day",
    "row.no_kind": "no kind of record of this name; accepted: {accepted}",
    "row.no_subject": "no {kind} of this name is on record; nearest: {nearest}. Load it"
    " first, or correct the name",
    "row.alias_taken": "this is the tag of another joint; choose another name",
    "row.name_unknown": "no {kind} of this name is on record; nearest: {nearest}",
    "row.post_beyond": "the posts of this measuring run from {first:kilometre} to"
    " {last:kilometre}; beyond them the joint has no place",
    "row.geometry": "where the span lies decides which way the share is read;"
    " accepted: {accepted} (between the current connection and the joint, or beyond"
    " the joint)",
    "row.no_geometry": "no share of a test current without where the span lies: write"
    " between or beyond; the test stays inconclusive until then",
    "row.no_solution": "a silver chloride electrode without its solution may be 92 mV"
    " off; write Ag/AgCl sea water, or Ag/AgCl with its KCl (saturated, 1.0 M, 0.1 M)",
    "row.shift_sign": "side {side} grew {step:volt} more positive with its current on:"
    " on and off may be crossed, or the wrong side is named; the test stays"
    " inconclusive until then",
    "row.not_installed": "{method} decides only on what is installed; accepted:"
    " {accepted}. The test stays inconclusive until then",
    "row.fitted_by_then": "the kit at {joint} was fitted on {fitted_on}, before this"
    " test ({tested_on}), so it was not on the bench or loose then; correct the stage"
    " or the day. The test counts for nothing until then",
    "row.tie_in_over": "{joint} is in duty since {since}, so a test of {tested_on} was"
    " not before its tie-in; correct the stage or the day. The test stays inconclusive"
    " until then",
    "row.part": "a test of scope {scope} has none; accepted: an empty cell, or scope"
    " {accepted}",
    "row.point_elsewhere": "this test point stands at {joint} and its leads do not go"
    " to both sides of {boundary}; accepted: a test point at a joint of {boundary}, or"
    " one whose leads name both of its structures (leads.csv, column structure)",
    "row.no_visit": "a visit that could not be made has no reading, and here stands"
    " {given}; correct the outcome, or empty those cells. It counts as not tested until"
    " then",
    "row.at_odds": "the parts of this test contradict each other ({told}); correct the"
    " one that was written wrongly",
    "row.already_one": "its two sides are one metal already ({names} joined on"
    " purpose): nothing on it can keep them apart; name other structures, or end that"
    " permission first",
    "row.differs": "differs from the record ({old}); to correct the record, fill"
    " correction_reason and load again",
    "row.not_a_joint_name": "an older name of {tag}; written to {tag}",
    "held.no_proposal": "write the value again with what is missing, and load it with"
    " a correction_reason",
    "export.format": "no format of ours ends with {suffix}; accepted: {accepted}",
    "command.no_path": "{name}: an empty text is no path; accepted: a path, such as ."
    " for this folder (is a variable of the shell not set?)",
    "command.stopped": "stopped by Ctrl-C before the end: what was not told as recorded"
    " is not on record, and each file is as it was or whole. Run the command again",
    "load.nothing": "no file was named; name files, or a folder that holds them",
    "site.exists": "{place} holds a site already; name an empty or new folder",
    "site.none": "{place} is no site folder: it has no site.toml; make one with"
    " 'jointmap new'",
    "site.bad_settings": "cannot be read ({error})",
    "site.zone": "no time zone has this name; accepted: a name of the IANA list,"
    " such as Atlantic/Azores",
    "site.other_code": "this is the folder of site {code}; load the record of another"
    " site into a folder of its own",
    "load.nameless": "say who loads and why: --by and --reason must not be blank",
    "site.no_record": "no site record is loaded yet; load this_site.toml first",
    "joint.unknown": "no joint has the tag or the older name {tag}; nearest: {nearest}",
    "boundary.unknown": "no boundary has the name {name}; accepted: {accepted}",
    "month.bad": "{month} is no month; accepted: year-month, such as 2026-05",
    "call.bad_day": "{day} is no day; accepted: year-month-day, such as 2026-05-15",
}
