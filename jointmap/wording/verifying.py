"""Sentences of ``verify``: what in the register does not fit its own chain."""

_ROW = "entry {entry}: {kind} '{key}', revision {revision}: "

SENTENCES: dict[str, str] = {
    "verify.row": _ROW + "the values are not those that were recorded",
    "verify.form": _ROW + "the entry states no form that this kind of row has had",
    "verify.salt": _ROW + "the salt of a value that may be left out was changed",
    "verify.position": _ROW + "a row before this one is missing, or this one was moved",
    "verify.no_entry": _ROW + "no entry of the chain covers this row",
    "verify.mark": _ROW
    + "the mark of what replaced it is not that of the next revision",
    "verify.revision_gap": _ROW + "the revision before this one is missing",
    "verify.file_gone": _ROW + "the attached file is gone; copy it back from a backup",
    "verify.file_changed": _ROW + "the attached file was changed; copy it back from a"
    " backup",
    "verify.entry_missing": "entry {entry} is missing from the chain",
    "verify.entry_previous": "entry {entry} does not follow the entry before it",
    "verify.entry_hash": "entry {entry}: what it says of itself was changed (time,"
    " person, reason, count, training day or forms)",
    "verify.entry_count": "entry {entry} holds another number of rows than it was"
    " recorded with",
    "verify.entry_forms": "entry {entry} does not state the form of each kind of row"
    " that it holds",
    "verify.entry_root": "entry {entry} does not hold the rows it was recorded with",
    "verify.entry_training": "entry {entry} states another training day than the entry"
    " before it",
    "verify.object_missing": "the {what} {called} of the database is missing",
    "verify.object_altered": "the {what} {called} of the database is not as this"
    " program makes it",
    "verify.object_foreign": "the {what} {called} of the database is not of this"
    " program",
    "verify.stray_rows": "there are rows under a site number that no site has: {key}",
    "verify.row_foreign": "the database holds a row that no command wrote: {key}",
    "verify.row_count": "the database says more than once what it is, or not at all:"
    " table {key}",
    "verify.size": "{place} has {found} bytes, its pages have {known}: something was"
    " put behind them",
    "verify.version": "the number of the tables' version was changed: {found}; the"
    " tables are those of {known}",
    "verify.site_code": "the code of site {code} was changed in the database: the chain"
    " begins with this code",
    "verify.site_key": "the key of site {code} in the database is none: 32 bytes",
    "verify.fixed_day": "site.toml says fixed_day {given}, the chain {recorded}: put it"
    " back as it was",
    "verify.setting": "site.toml: there is no setting {name}; accepted: {accepted}",
    "verify.file_odd": _ROW + "in the place of the attached file lies a folder, a link"
    " or another thing that is no file",
    "verify.file_unread": _ROW + "the attached file cannot be read",
    "verify.file_foreign": "{place}: no part of this site; look at who put it there,"
    " then move it out of the site folder",
    "verify.file_left": "{place}: stored by a load or a command that was not finished;"
    " no record names it",
    "verify.copy_foreign": "{place}: a copy for pages that this site did not make; no"
    " page shows it. Look at who put it there, then delete it: pages make it again",
    "verify.copy_older": "{place}: a copy for pages as older versions made it, without"
    " a seal; no page shows it, 'jointmap publish' makes it again",
    "verify.file_not_plain": "{place}: a folder, a pipe or another thing that is no"
    " plain file; look at who put it there, then move it away",
    "verify.file_open": "{place}: everybody on this machine may read or change it; take"
    " the rights of others away (chmod o=)",
    "verify.file_link": "{place}: a link; put the file itself there",
    "verify.file_names": "{place}: the file has {count} names, so it can be changed"
    " under another one (hard links); look for that, then put a copy in its place",
    "verify.header": "{place}: bytes {first} to {last} of the file are kept empty, and"
    " {found} stands there; no program of ours wrote it",
    "verify.pages": "the file itself is damaged, by SQLite's own check: {said}",
    "verify.guard": "the trigger {key} is missing or changed: rows can be overwritten",
    "verify.tail_cut": "the register ends at entry {last}; the fingerprint names entry"
    " {entry}: the end was cut off, or the fingerprint is of another register. Look for"
    " the site's code on the page it stands on, then for a newer backup",
    "verify.rewritten": "entry {entry} has another hash than the fingerprint: the"
    " register was rewritten, or the fingerprint is of another register. Look for the"
    " site's code on the page it stands on, then compare with a backup of that day",
    "verify.no_fingerprint": "this is no fingerprint; accepted: entry number, dash, 64"
    " characters, as it stands at the foot of every page",
    "verify.sound": "sound: {entries} entries, {rows} rows; agrees with itself"
    "{compared}; fingerprint {fingerprint}",
    "verify.alone": "; compared with nothing outside",
    "verify.held": "the register holds the state of fingerprint {fingerprint}",
    "verify.empty": "sound: nothing is recorded yet",
    "verify.more": "{more} more of this kind",
    "verify.first": ", the first {named} named",
    "verify.beside": "faults: {count}{first}, none of them in the register itself. Do"
    " what each line says, then verify again",
    "verify.broken": "faults: {count}{first}. Change nothing in the register; restore"
    " the last backup into a new folder, verify it, and load again what came after it",
}
