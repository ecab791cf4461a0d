"""One refusal for every format that a command does not write."""

from collections.abc import Sequence
from pathlib import Path

from jointmap.errors import Problem, WrongUse
from jointmap.register.told import Told

FOLDER = Told("format.folder")


def check_ending(out: Path, *accepted: str) -> None:
    """Raise ``WrongUse`` unless the name of ``out`` ends in one of these."""
    if out.suffix.lower() not in accepted:
        raise of_ending(out, accepted)


def of_ending(out: Path, accepted: Sequence[str]) -> WrongUse:
    """Return the refusal of a name's ending; with none accepted a folder is written."""
    endings = Told("format.endings", {"endings": tuple(accepted)})
    found = out.suffix or Told("format.none")
    return no_format("--out", str(out), found, endings if accepted else FOLDER)


def no_format(
    option: str, asked: str, found: Told | str, accepted: Told | tuple[str, ...]
) -> WrongUse:
    """Return the refusal of a format: where it was asked for, and what is accepted."""
    facts = {"option": option, "found": found, "accepted": accepted}
    return WrongUse(Problem("format.other", facts, value=asked))
