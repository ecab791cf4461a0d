"""Sentences on what is brought in: too much of it, no plain file, no sound text."""

SENTENCES: dict[str, str] = {
    "limit.file_bytes": "the file has {found} bytes; at most {most} are read; send it"
    " in parts",
    "limit.delivery_bytes": "with this file the delivery has {found} bytes; at most"
    " {most} are read at once; load it in parts",
    "limit.delivery_files": "{found} files were named; at most {most} are read at once;"
    " load them in parts",
    "limit.delivery_rows": "with this file the delivery has {found} rows; at most"
    " {most} are read at once; load it in parts",
    "limit.lines": "the table has {found} lines; at most {most} are read; send it in"
    " parts",
    "limit.line_bytes": "the line has {found} bytes; at most {most} are read; is a line"
    " end or a quote missing?",
    "limit.cell": "the cell has {found} letters; at most {most} are read; is a quote"
    " missing?",
    "limit.columns": "the heading has {found} columns; at most {most} are read, and no"
    " sheet has as many; save the table anew with its own columns only",
    "limit.points": "the line has {found} points; at most {most} are read; leave out"
    " points that lie on a straight piece",
    "limit.depth": "brackets stand {found} deep, one inside the other; at most {most}"
    " are read",
    "limit.digits": "the number has {found} digits; at most {most} are read",
    "limit.dots": "the line has {found} dots outside quotes; at most {most} are read",
    "reading.seconds": "reading it took more than {most} seconds and was stopped; send"
    " it in parts",
    "reading.memory": "reading it needs more than {most} bytes of memory; send it in"
    " parts",
    "reading.answer": "what was read comes to more than {most} bytes; send it in parts",
    "reading.crash": "the program that reads it ended before its time ({signal});"
    " nothing was taken; save the file anew, or send it in parts to find the line",
    "reading.fault": "the program that reads it has a fault of its own ({fault});"
    " nothing was taken; please report it with this file",
    "file.link": "this is a link to another file, which is not followed; put the file"
    " itself here",
    "file.not_plain": "this is {kind}, not a plain file",
    "file.name": "the name of the file is no UTF-8 text; rename it",
    "file.unreadable": "the file cannot be read ({error})",
    "file.json_twice": "the name stands twice in one object; keep one",
    "file.json_constant": "this is no number in JSON; leave the value out",
    "file.not_a_cell": "a list or an object stands where one value belongs",
    "file.half_letter": "half a letter (a surrogate that stands alone) is no text",
    "told.more_alike": "and {count} more, alike",
    "told.more": "and {count} more messages; mend these first and load again",
    "row.same_letters": "differs from {near}, which is on record, only in case, width,"
    " marks that are not seen or letters of another script that look the same; write"
    " {near}, or give it a name that a person can tell apart",
    "row.same_letters_sent": "differs from {near} (in {first}) only in case, width,"
    " marks that are not seen or letters of another script that look the same; write"
    " one of them, or give it a name that a person can tell apart",
    "row.odd_mark": "{mark} stands in this name, a mark that is not seen; take it out",
}
