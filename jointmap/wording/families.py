"""All sentences: those kept as data, one file a subject, and those made from words."""

import json
from importlib import resources

from jointmap.wording.cautions import SENTENCES as CAUTIONS
from jointmap.wording.fitting import SENTENCES as FITTING
from jointmap.wording.labels import SENTENCES as LABELS
from jointmap.wording.worksheet import SENTENCES as WORKSHEET

_FOLDER = resources.files("jointmap.wording") / "sentences"


def of_subject(name: str) -> dict[str, str]:
    """Return the sentences of one file of data, by id."""
    text = (_FOLDER / f"{name}.json").read_text(encoding="utf-8")
    found: dict[str, str] = json.loads(text)
    return found


def _kept() -> dict[str, str]:
    found: dict[str, str] = {}
    for file in sorted(_FOLDER.iterdir(), key=lambda f: f.name):
        found |= of_subject(file.name.removesuffix(".json"))
    return found


SENTENCES: dict[str, str] = {
    **_kept(),
    **FITTING,
    **CAUTIONS,
    **LABELS,
    **WORKSHEET,
}
