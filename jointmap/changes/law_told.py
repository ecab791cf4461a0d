"""What a transaction changes of rules, limits, models and roles, in words."""

from collections.abc import Iterator, Sequence

from jointmap.changes.rows.find_record import key_of
from jointmap.errors import Problem
from jointmap.register import ABOUT_THE_ROW, FORMS, Person, Record
from jointmap.register.rights.authority import placed
from jointmap.register.rights.needed import Changed, gives_authority
from jointmap.storage import Writing
from jointmap.storage.known import Knows

Told = Problem
# Of a new row: where it stands in a publication is not what changes an answer.
_NOT_TOLD = (
    *ABOUT_THE_ROW,
    "name",
    "from_on",
    "clause",
    "edition",
    "says_not",
    "binds_from_source",
)
_MOST_LETTERS = 60  # a model's numbers fill pages


def law_told(job: Writing) -> list[Told]:
    """Return a sentence, as data, for each rule, limit, model new or changed."""
    return [law_line(job, change) for change in job.permission.law]


def roles_told(job: Writing) -> list[Told]:
    """Return a sentence, as data, for each person who may approve from now on."""
    found = []
    for change in job.permission.changes:
        new, old = change.new, change.old
        if isinstance(new, Person) and gives_authority(_person(old), new):
            facts = {"code": new.code, "role": new.role}
            found.append(placed(Problem("load.role", facts), new.origin))
    return found


def _person(record: Record | None) -> Person | None:
    return record if isinstance(record, Person) else None


def law_line(job: Knows, change: Changed) -> Told:
    """Return what one rule, limit or model was, and is, as data of a sentence."""
    new = change.new
    facts: dict[str, object] = {"kind": new.KIND, "key": key_of(job, new)}
    if change.old is None:
        facts["values"] = ", ".join(_values(job, new))
        return placed(Problem("load.law_new", facts), new.origin)
    facts["values"] = ", ".join(_differences(job, change.old, new))
    ended = getattr(new, "until_on", None)
    is_end = ended is not None and getattr(change.old, "until_on", None) != ended
    id_ = "load.law_ended" if is_end else "load.law_changed"
    return placed(Problem(id_, facts), new.origin)


def needs_rules(law: Sequence[Told]) -> list[Problem]:
    """Return what to say of a delivery that changes rules without saying so."""
    return [Problem("load.needs_rules", {"count": len(law)}), *law]


def _values(job: Knows, record: Record) -> Iterator[str]:
    for column in FORMS[record.KIND].columns:
        value = getattr(record, column.name)
        empty = value is None or value == "" or value is False
        if column.name not in _NOT_TOLD and not empty:
            yield f"{column.label.replace('_', ' ')} {_shown(job, record, column.name)}"


def _differences(job: Knows, old: Record, new: Record) -> Iterator[str]:
    for column in FORMS[new.KIND].columns:
        before, after = (getattr(r, column.name) for r in (old, new))
        if column.name not in ABOUT_THE_ROW and before != after:
            was, now = (_shown(job, r, column.name) for r in (old, new))
            yield f"{column.label.replace('_', ' ')} {was} -> {now}"


def _shown(job: Knows, record: Record, name: str) -> str:
    column = next(c for c in FORMS[record.KIND].columns if c.name == name)
    value = getattr(record, name)
    if column.refers and value is not None:
        return key_of(job, job.known(column.refers).record(value))
    if value is None or value == "":
        return "none"
    text = f"{value:g}" if isinstance(value, float) else " ".join(str(value).split())
    return text if len(text) <= _MOST_LETTERS else f"{text[:_MOST_LETTERS]}..."
