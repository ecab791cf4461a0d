"""Sentences on corrections, on the life of a joint, on keeping a register."""

SENTENCES: dict[str, str] = {
    "revise.done": "{kind} '{key}': {column} was {old}, is {new}",
    "revise.no_reason": "what is recorded needs a reason that can be read; say why with"
    " --reason",
    "revise.nothing": "no value was given; accepted: --set column=value",
    "revise.kind": "no such kind of record; accepted: {accepted}",
    "revise.by_sheet": "correct this by loading {sheet} with a correction_reason",
    "revise.column": "unknown column; accepted: {accepted}",
    "revise.tag": "a tag is not corrected but changed; use 'jointmap change rename',"
    " which keeps the old name findable",
    "revise.unknown": "there is no such {kind}; nearest: {nearest}",
    "revise.several": "{count} records of kind {kind} fit; add more words of one of:"
    " {shown}",
    "revise.same": "'{key}' holds these values already; nothing was recorded",
    "revise.key_taken": "another {kind} is called '{key}'; choose another value",
    "revise.bad_set": "accepted: column=value, such as remark=repainted",
    "change.after_today": "{day} lies after today ({today}); correct the day",
    "change.unknown_person": "'{by}' is no person on record; accepted for --by:"
    " {accepted}. A new person comes in with people.csv",
    "change.before_first": "{day} lies before {first}, the first day from which '{tag}'"
    " is on record so; accepted: that day or a later one",
    "rename.done": "'{old}' is called '{new}' from {day}; the old name still finds it",
    "rename.taken": "'{new}' is the tag or an older name of another joint; choose"
    " another",
    "rename.same": "the joint is called '{new}' already",
    "rename.empty": "a tag cannot be empty",
    "replace.done": "'{tag}': the device of {old} was removed on {day}, a new one"
    " fitted",
    "replace.after": "'{tag}': a device fitted on {day}; that of {old} was removed on"
    " {removed}",
    "replace.first": "'{tag}': a first device fitted on {day}",
    "replace.too_early": "the device at '{tag}' was fitted on {old}; a later day is"
    " accepted",
    "retire.done": "'{tag}' is {state} since {day} ({how})",
    "retire.already": "'{tag}' is {state} already",
    "retire.bond": "the bond at '{tag}' joins the two sides of {boundary}; if that is"
    " to stay, record the permission with 'jointmap change join'",
    "retire.bond_name": "bond in place of {tag}",
    "join.done": "{boundary} may be joined on purpose from {from_on} {until}, by"
    " {authority}",
    "join.until": "until {until}",
    "join.no_end": "with no end on record",
    "join.order": "the end {until} lies before the start {from_on}",
    "join.authority": "say who gave the permission",
    "join.same": "{boundary} has this permission already; nothing was recorded",
    "attach.too_big": "the file is larger than {most} MiB; at most that is kept",
    "attach.type": "what is in the file is none of the accepted kinds: {accepted}",
    "attach.no_file": "no file with this SHA-256 is kept in the site; write its place"
    " in the folder of the sheet, such as photos/front.jpg, in the column file",
    "attach.differs": "the file itself says {found}; correct the row",
    "attach.no_kind": "no such kind of record; accepted: {accepted}",
    "attach.no_record": "there is no {kind} of this name; nearest: {nearest}",
    "attach.done": "{name} is attached to {subject} '{key}'",
    "attach.same": "this file is attached to {subject} '{key}' already",
    "backup.done": "{place}: entry {entry}, {files} attached files",
    "backup.there": "{place} is there already; name a new file",
    "backup.broken": "what was copied does not verify; it was kept all the same, beside"
    " the last sound backup",
    "restore.not_empty": "{place} holds a site or other files; name an empty or new"
    " folder",
    "new.code": "not a code for a site; accepted for --code: 1 to {most} letters,"
    " digits and hyphens, such as ORS, and no hyphen first",
    "restore.database": "this is no address of a server; accepted:"
    " postgresql+psycopg://USER@HOST/DATABASE. Without --database the register is a"
    " file in the new folder",
    "restore.no_backup": "this is no jointmap backup, or it is cut short ({error});"
    " name a file made by 'jointmap backup'",
    "restore.damaged": "the register in it is damaged or cut short; name an older"
    " backup",
    "restore.not_ours": "the register in it is of no version of jointmap; name a file"
    " made by 'jointmap backup'",
    "restore.write_ahead": "the register in it was set to write ahead (WAL), which"
    " jointmap never does; name a file made by 'jointmap backup'",
    "restore.done": "{place}: entry {entry}, {files} attached files; verified",
    "upgrade.done": "the tables went from version {before} to {after}",
    "upgrade.none": "the tables are of version {after} already",
    "late.line": "{delay_days} days: {kind} '{what}' of {happened_on}, recorded"
    " {recorded_on} by {by} ({why})",
    "late.end": "end of {kind}",
    "late.name": "old name",
    "late.none": "nothing was recorded more than {days} days after it happened",
}
