"""Sentences on the register as a whole: where it is, is it sound, what to do."""

_CLOCK = "this machine's clock says {now}; "
_ASKED = (
    ". Nothing was recorded: set the clock right, or repeat with --clock-is-right if"
    " it is"
)

SENTENCES: dict[str, str] = {
    "storage.not_a_register": "{place} is no jointmap register; name a site folder"
    " made by 'jointmap new', or an empty database",
    "storage.newer": "{place} was written by a newer jointmap (tables {found}; this"
    " one knows {known}); install that version and try again",
    "storage.older": "{place} was written by an older jointmap (tables {found}; this"
    " one needs {known}); keep a copy of the site folder, then run 'jointmap upgrade'",
    "storage.no_site": "there is no site {code} in {place}; check code in site.toml",
    "storage.site_there": "a site with the code {code} is in {place} already; choose"
    " another code, or open that site",
    "storage.nothing_known": "nothing was recorded for site {code} by {known}",
    "storage.clock_back_entry": _CLOCK + "the last entry was recorded at {other}, more"
    " than a day later" + _ASKED,
    "storage.clock_ahead_entry": _CLOCK + "the last entry was recorded at {other}, and"
    " nothing else at hand is newer: more than a year earlier" + _ASKED,
    "storage.clock_ahead_server": _CLOCK
    + "the server's clock says {other}, more than a"
    " year earlier" + _ASKED,
    "storage.clock_ahead_file": _CLOCK + "the newest other time at hand is that of the"
    " file {file}, {other}: more than a year earlier" + _ASKED,
    "storage.odd_entry": "entry {entry} of the chain holds a value of another type than"
    " was recorded; run 'jointmap verify'",
    "storage.training_day": "site.toml says fixed_day {given}, the last entry"
    " {recorded}; a site is a training site from its first entry on, or never. Put it"
    " back",
    "storage.no_record": "there is no such {kind} to revise",
    "storage.no_revision": "this record has no revision {revision}",
    "storage.no_file": "there is no file {place}; check database in site.toml, or"
    " restore a backup with 'jointmap restore'",
    "storage.bad_address": "the database address is none that can be used; accepted:"
    " postgresql+psycopg://USER@HOST/DATABASE, or a file name",
    "storage.no_driver": "the PostgreSQL driver is absent; install jointmap[postgres]",
    "storage.full": "no room is left at {place}; nothing of this was kept. Free some"
    " space and run the same command again",
    "storage.read_only": "{place} can only be read; nothing was changed. Ask for the"
    " right to write there, or copy the site folder",
    "storage.left_half": "{place} was being written when its writer was stopped, and"
    " is only read here; 'jointmap verify SITE', or any other command, puts it right",
    "storage.busy": "{place} is being written by someone else for longer than a command"
    " waits, 30 seconds to read and 5 minutes to write; nothing of this was kept. Try"
    " again when that is done",
    "storage.not_plain": "{place} is a folder, a pipe or another thing that is no plain"
    " file, so the register is not opened; look at who put it there, then move it away",
    "storage.write_ahead": "{place}: no file of this name is of jointmap, and SQLite"
    " would bring it into the register or delete it; so the register is not opened, and"
    " nothing was changed. Look at who put it there, then move it away",
    "storage.no_journal": "{place} bears the name of SQLite's journal and is none, and"
    " SQLite would delete it; so the register is not opened, and nothing was changed."
    " Look at who put it there, then move it away",
    "storage.is_write_ahead": "{place} was set to write ahead (WAL), which jointmap"
    " never does, so it is not opened; keep a copy of the site folder, then set it back"
    " in SQLite's own tool: PRAGMA journal_mode = DELETE",
    "storage.damaged": "{place} is damaged or cut short; keep it as it is, and restore"
    " the last backup into a new folder with 'jointmap restore'",
    "storage.no_guard": "in {place} the trigger {name} is missing or changed, so rows"
    " could be overwritten; restore the last backup, or ask who changed it",
    "storage.guarded": "{place} refused to overwrite or delete a row",
    "storage.unreachable": "{place} does not answer ({error}); check that the server"
    " runs and that the address and the password are right",
    "storage.failed": "{place} reported: {error}",
}
