"""Which tasks of a qualification cover which methods, and what each is read with.

No text that says either was found; both tables are judgements that stand to be read.
"""

from dataclasses import dataclass

from jointmap.errors import Problem, Refused
from jointmap.tables.methods import METHOD_CODES, METHODS
from jointmap.tables.rows import Published, read_rows
from jointmap.tables.sources import packaged

TASKS_FILE, KINDS_FILE = "qualified_tasks.csv", "reading_instruments.csv"
EVERY = "every method"
NO_INSTRUMENT = "no instrument"


@dataclass(frozen=True, slots=True, kw_only=True)
class QualifiedTask(Published):
    """What a person may be qualified for, and the methods that this covers."""

    task: str
    methods: str


@dataclass(frozen=True, slots=True, kw_only=True)
class InstrumentKind(Published):
    """A kind of instrument, and the methods whose reading it can make."""

    kind: str
    methods: str


def codes_listed(methods: str, file: str) -> frozenset[int]:
    """Return the codes of methods in a cell.

    Raises
    ------
    Refused
        ``table.no_method``, with the name that no method has.

    >>> sorted(codes_listed("insulation-resistance; spark", "x.csv"))
    [0, 1]
    """
    if methods == EVERY:
        return frozenset(METHOD_CODES.values())
    names = [name.strip() for name in methods.split(";") if name.strip()]
    for name in names:
        if name not in METHOD_CODES:
            raise Refused(Problem("table.no_method", {"name": name}, file))
    return frozenset(METHOD_CODES[name] for name in names)


TASKS: tuple[QualifiedTask, ...] = read_rows(
    TASKS_FILE, packaged(TASKS_FILE), QualifiedTask
)
KINDS: tuple[InstrumentKind, ...] = read_rows(
    KINDS_FILE, packaged(KINDS_FILE), InstrumentKind
)
_OF_TASK = {row.task: codes_listed(row.methods, TASKS_FILE) for row in TASKS}
_OF_KIND = {row.kind: codes_listed(row.methods, KINDS_FILE) for row in KINDS}
_AS_CALLED = {
    name.lower(): frozenset([METHOD_CODES[m.code]])
    for m in METHODS
    for name in (m.code, m.label)
}
# What no row names can be read with anything: nothing is known of it.
_READ_WITH_ANY = frozenset(METHOD_CODES.values()).difference(*_OF_KIND.values())
BY_EYE = _OF_KIND[NO_INSTRUMENT]


def methods_of_task(task: str) -> frozenset[int]:
    """Return the codes of the methods that a task covers.

    A task that the table does not have covers what it says literally: a method by its
    code or label. Several stand with a semicolon between them.

    >>> methods_of_task("witness"), methods_of_task("Spark; look") == {1, 15}
    (frozenset(), True)
    """
    words = (part.strip().lower() for part in task.split(";"))
    none: frozenset[int] = frozenset()
    return none.union(*(_OF_TASK.get(w, _AS_CALLED.get(w, none)) for w in words))


def methods_of_kind(kind: str) -> frozenset[int] | None:
    """Return the codes of the methods that a kind of instrument can read.

    What stands behind a comma is no part of the kind. None for a kind that the table
    does not have: what it can read is not known.

    >>> methods_of_kind("reference electrode, Cu/CuSO4") == BY_EYE
    True
    >>> methods_of_kind("meter") is None
    True
    """
    own = _OF_KIND.get(kind.partition(",")[0].strip().lower())
    return None if own is None else own | BY_EYE | _READ_WITH_ANY
