"""Sentences on the trial of the readers before a change is kept."""

SENTENCES: dict[str, str] = {
    "trial.stops": "with this on record '{reader}' would stop for everybody ({said});"
    " nothing was recorded. Correct it, or leave it out",
    "trial.between": "the row that does it lies between {first} and {last}; load"
    " smaller parts to find it",
    "trial.endless": "it does not come to an end",
    "trial.memory": "it needs more memory than there is",
    "kept.not_told": "what was sent is on record; only telling so failed ({error}). Do"
    " not send it again: 'jointmap verify' shows the entry",
}
