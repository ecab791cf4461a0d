"""Sentences about where output may go, and what became of what lay there."""

SENTENCES: dict[str, str] = {
    "output.in_site": "{place} lies in the site folder {site}, where only its own"
    " files lie; name a place outside of it",
    "output.in_program": "{place} lies in the program itself; name another place",
    "output.in_pages": "{place} lies in the published folder {folder}; name another"
    " place",
    "output.mount": "{place} is the top of a disk; name a folder or file below it",
    "output.no_folder": "{place}: there is no folder {folder}; make it first",
    "output.is_folder": "{place} is a folder; name a file",
    "output.is_file": "{place} is a file; name a folder",
    "output.no_file": "{place} is a device, a pipe or the like; name a file",
    "output.record": "{place} is a register, its journal or a backup, which nothing"
    " replaces; name another file",
    "output.page": "{place} is a page of the published folder {folder}; publish that"
    " anew, or name another file",
    "output.not_ours": "{place} is there already and jointmap did not write it; name"
    " another file, or replace it with --force",
    "output.inside": "{place} is the folder you are in, and it is replaced whole; run"
    " from outside of it",
    "output.other_kind": "{place} was published as {found}, not as {kind}; name another"
    " folder",
    "output.other_site": "{place} holds pages of site {found}, not of {site}; name"
    " another folder, or replace them with --force",
    "output.in_other_site": "{place} lies in {folder}, the pages of site {found}, not"
    " of {site}; name a place outside of it",
    "output.folder_not_ours": "{place} holds files that jointmap did not write"
    " ({names}); name a new or empty folder (--force replaces no folder of others)",
    "output.holds_site": "{place} holds a site folder ({site}); name another folder",
    "output.special": "{place} holds {name}, a device, a pipe or the like; take it"
    " away",
    "output.edited": "{place}: {name} was changed or laid there by hand; move it away,"
    " or replace it with --force",
    "output.others_draft": "{place} is no folder of drafts of yours; take it away",
    "output.busy": "another run has been writing {place} for minutes; wait for it, or"
    " end it",
    "output.replaced": "{place}: replaced {size} bytes that jointmap had not written",
    "output.replaced_page": "{place}: replaced {name}, changed or laid there by hand",
    "output.replaced_site": "{place}: replaced the pages of site {found}",
    "output.other_within": "{place}: {name} holds pages of site {found}, which stay"
    " and are not linked",
    "output.carried": "{place}: {count} files that jointmap did not write stay as they"
    " are: {names}",
    "output.older": "{place}: the sheets of {month} are of an earlier state of the"
    " register; run month again",
}
