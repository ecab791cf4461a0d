"""Makes docs/reference/ from the code: ``python .ci/reference_pages.py [--check]``."""

import inspect
import re
import sys
import tomllib
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

import dependency_page

import jointmap
from jointmap.acceptance.reasons import VERDICT_OF_REASON
from jointmap.exchange import SHEETS, Sheet
from jointmap.findings.every_finding import ALL_FINDERS, kinds_of
from jointmap.findings.kind import Gravity, Kind
from jointmap.incoming.size_limits import STATED
from jointmap.intervals import NEXT_REQUIRED_TEST
from jointmap.notebook import OpenSite
from jointmap.pages.due import columns as due_columns
from jointmap.register import FORMS, Column, Form
from jointmap.register.bounds import Bound, DayBound
from jointmap.register.codes import Basis, DueState, Mark, Verdict
from jointmap.register.rights.roles import (
    FOR_TWO,
    LONGEST_DEFERRAL_DAYS,
    MAY_ADD,
    MAY_APPROVE,
    MAY_BEGIN,
    MAY_CORRECT,
    MAY_DECIDE,
    MAY_DO,
    Role,
)
from jointmap.reports.every_report import REPORTS
from jointmap.storage.chain.past_forms import PAST_FORMS, columns_then
from jointmap.tables import LIMITS, METHODS, SOURCES
from jointmap.tables.interval_rules import RULES, IntervalRule
from jointmap.tables.who_reads import EVERY, KINDS, TASKS
from jointmap.wording import say
from jointmap.wording.families import SENTENCES
from jointmap.wording.quantities import counted
from jointmap.workflows import day_tables, export

FOLDER = Path(__file__).resolve().parents[1] / "docs" / "reference"
MADE = "<!-- made by .ci/docs; do not edit -->\n"


def table(heading: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """Return a Markdown table."""
    lines = [heading, ["---"] * len(heading), *rows]
    return "".join("| " + " | ".join(map(_cell, line)) + " |\n" for line in lines)


def _cell(value: object) -> str:
    text = "" if value is None else str(value)
    return " ".join(text.replace("|", "\\|").split())


def page(title: str, *parts: str) -> str:
    """Return a page: a title, and its parts with an empty line between them."""
    text = "\n".join([f"# {title}\n", MADE, *parts])
    return re.sub(r"\n{3,}", "\n\n", text).rstrip() + "\n"


def roles() -> str:
    """Return the page of who may record what."""
    kinds = [
        (kind.replace("_", " "), *(_may(role, kind) for role in Role))
        for kind in MAY_ADD
    ]
    decisions = [
        (kind, ", ".join(may), "two" if kind in FOR_TWO else "one")
        for kind, may in MAY_DECIDE.items()
    ]
    acts = [(act, ", ".join(may)) for act, may in MAY_DO.items()]
    facts = {"begin": " or ".join(MAY_BEGIN), "approve": ", ".join(MAY_APPROVE)}
    return page(
        "Roles: who may record what",
        ROLES_OPENING.format(**facts),
        "## Kinds of record\n",
        table(["kind", *Role], kinds),
        "## Decisions\n",
        table(["decision", "recorded and taken by", "persons"], decisions),
        ROLES_DECISIONS.format(days=LONGEST_DEFERRAL_DAYS),
        "## Changes that the kind alone does not tell\n",
        table(["change", "by"], acts),
    )


ROLES_OPENING = """\
`role` in `people.csv` is one of the words that head the first table. `+` may record new
ones, `+ c` may also correct. The role that counts is the one on record before the
delivery; any other word carries no authority. A first delivery, while nobody on record
ever was one, is by a {begin} who stands in it.
May approve, as the second of two or by `seen`: {approve}.

Corrected are kinds by `correction_reason`, `waiting --accept`, and
`change` with `correct`, `rename`, `replace`, `retire`, `join`; each asks this table.
"""

ROLES_DECISIONS = """\
A decision `released` asks for two where a joint was in duty or is left in place. A test
is put off for at most {days} days. `run by one person` is by the only one who may
approve. The last who may bring people in keeps that role. `seen` is about an entry that
another person recorded and decided, and that gave oneself no role, where others may
look. A joint comes in as out of duty or removed by those who may take one out of duty.
Why: [decision 0029](../decisions/0029-roles-by-kind-of-record.md),
[0030](../decisions/0030-two-persons-and-seen.md).
"""


def _may(role: Role, kind: str) -> str:
    if role in MAY_CORRECT[kind]:
        return "+ c"
    return "+" if role in MAY_ADD[kind] else ""


def columns() -> str:
    """Return the page of every file's columns."""
    parts = [_sheet(sheet) for sheet in SHEETS.values()]
    return page("Columns of the files", COLUMNS_OPENING, *parts)


COLUMNS_OPENING = """\
A file's name starts with its sheet; more words may follow
(`joints_contractor_south.csv`). UTF-8, comma between cells, an empty cell for "none".
Days are `2026-05-15`, truth is `yes` or `no`. A quantity carries its unit in the cell
(`640 ft·lbf`, `> 999 Mohm`). Columns marked * must be there. `correction_reason` turns
a row that differs from what is known into a new revision. A quantity outside the stated
ends waits where its row can stand without it and it is possible at all; any other
number or day outside them is refused.
"""


def _sheet(sheet: Sheet) -> str:
    rows = [
        (f"`{label}`" + " *" * (label in sheet.required), _accepts(column))
        for label, column in sheet.columns.items()
    ]
    rows += [(f"`{name}` *", "text") for name in sheet.extra_required]
    rows += [(f"`{name}`", "text") for name in sheet.extra]
    head = f"## `{sheet.name}{sheet.suffix}`\n"
    return f"{head}\n{table(['column', 'accepts'], rows)}"


def _accepts(column: Column) -> str:
    if column.refers:
        return f"name of a {column.refers.replace('_', ' ')} that is known"
    if column.words is not None:
        return "one of: " + ", ".join(f"`{w}`" for w in column.words)
    if column.quantity:
        return f"{column.quantity}, with its unit{_within(column)}"
    return PLAIN[column.type.__name__] + _within(column)


def _within(column: Column) -> str:
    """Return the bounds of a number or a day, and where they are from."""
    bound = column.bound
    if isinstance(bound, Bound):
        ends = [say("bound.end", {"end": e, "unit": column.unit or "g"})
                for e in (bound.least, bound.most)]  # fmt: skip
        return f"; {ends[0]} to {ends[1]} ({bound.source})"
    if isinstance(bound, DayBound):
        ahead = bound.years_ahead
        until = f"{ahead} years after the load" if ahead else "the day of the load"
        return f"; {bound.first} to {until} ({bound.source})"
    return ""


PLAIN = {
    "str": "text",
    "int": "whole number",
    "float": "number",
    "bool": "`yes` or `no`",
    "date": "day",
    "datetime": "instant with its zone, such as `2026-05-15T09:30:00Z`",
}


def reading_limits() -> str:
    """Return the page of how much is read of what comes from outside."""
    rows = [(limit.of, f"{limit.most:,}") for limit in STATED]
    return page("What is read at most", READING_OPENING, table(["of", "at most"], rows))


READING_OPENING = """\
Whatever is brought in is read within these limits. Beyond one of them the file is
refused in one sentence with its name, the place, what was found and the limit; the
register is unchanged. All are our choice: far above what people keep in sheets, and
such that no process needs more than 1 GiB.

Only plain files are read: no pipe is waited for, no device or folder opened. A folder
stands for the files that lie in it, not for those in folders inside.

Links: a folder that you name on the command line, or that stands on the way to a file
that you name, may itself be a link, and is read. Refused is a file that is a link,
named or lying in a folder that you name; a link to a folder that lies there; and, of a
file that `attachments.csv` names, any link between the delivery's folder and the file.
"""


def commands() -> dict[str, Any]:
    """Return every command of the program by the words that call it."""
    from jointmap.cli import main

    return dict(_below("", main))


def _below(lead: str, group: Any) -> Iterator[tuple[str, Any]]:  # noqa: ANN401
    for name, command in group.commands.items():
        if hasattr(command, "commands"):
            yield from _below(f"{lead}{name} ", command)
        else:
            yield f"{lead}{name}", command


def commands_page() -> str:
    """Return the page of every command with its arguments and options."""
    parts = [_command(name, command) for name, command in sorted(commands().items())]
    return page("Commands", COMMANDS_OPENING, *parts)


COMMANDS_OPENING = """\
`SITE` is a site folder. Exit codes: 0 done, 1 findings, rows that await a decision or a
month of which something that is due by its end has no route, 2 wrong use, 3 refused
input, 4 integrity broken, 130 stopped by Ctrl-C, 141 whoever read the output had enough
of it (`jointmap findings SITE | head -1`). A command that has recorded something says
in the last case on standard error that it is on record, and ends with 1; stopped while
it tells so, with 130.

Tables are as wide as the terminal, and 80 columns where the output is none; `COLUMNS`
says another width. Colours repeat words and are left out with `NO_COLOR`. How far a
long command is stands on standard error, where that is a terminal.
"""


def _command(name: str, command: Any) -> str:  # noqa: ANN401
    usage = [f"jointmap {name}"]
    usage += [_argument(p) for p in command.params if p.param_type_name == "argument"]
    options = [p for p in command.params if p.param_type_name == "option"]
    rows = [(_option(p), _meaning(p)) for p in options]
    listed = table(["option", "meaning"], rows) if rows else ""
    return f"## `{' '.join(usage)}`\n\n{_prose(command.help)}\n\n{listed}"


def _argument(parameter: Any) -> str:  # noqa: ANN401
    name = parameter.human_readable_name.upper()
    name += "..." * (parameter.nargs == -1)
    return name if parameter.required else f"[{name}]"


def _option(parameter: Any) -> str:  # noqa: ANN401
    words = ", ".join(f"`{word}`" for word in parameter.opts)
    return words + (" (must be given)" if parameter.required else "")


def _meaning(parameter: Any) -> str:  # noqa: ANN401
    choices = getattr(parameter.type, "choices", ())
    return f"{parameter.help or ''} {' | '.join(choices)}"


def _prose(help_text: str | None) -> str:
    # Paragraphs marked \b are laid out by hand: shown as they stand.
    blocks = inspect.cleandoc(help_text or "").split("\n\n")
    return "\n\n".join(_paragraph(block) for block in blocks)


def _paragraph(block: str) -> str:
    by_hand = block.removeprefix("\b\n")
    return block if by_hand == block else f"```\n{by_hand}\n```"


def methods() -> str:
    """Return the page of test methods."""
    tasks = [(f"`{t.task}`", _listed(t.methods), t.citation) for t in TASKS]
    kinds = [(f"`{k.kind}`", _listed(k.methods), k.citation) for k in KINDS]
    return page(
        "Test methods",
        METHODS_OPENING,
        *(_method(m) for m in METHODS),
        "## Who may read it\n",
        METHODS_TASKS,
        table(["task", "methods", "source"], tasks),
        "## What it is read with\n",
        METHODS_KINDS,
        table(["kind", "methods", "source"], kinds),
    )


def _listed(methods: str) -> str:
    codes = [f"`{m.strip()}`" for m in methods.split(";") if m.strip()]
    return methods if methods == EVERY else ", ".join(codes) or "none"


METHODS_TASKS = """\
`task` in `qualifications.csv`, and the methods that it covers. A task that does not
stand here covers what it says literally: a method by its code or its name, several with
a semicolon between them. Letters may be large or small.
"""
METHODS_KINDS = """\
`kind` in `instruments.csv`, up to the first comma, and the methods whose reading it can
make. What `no instrument` has needs none named. Of a kind that does not stand here each
reading counts as one that it can make, and the instrument is a finding. What counts:
[papers of persons and instruments](../how_to/keep_papers.md).
"""


METHODS_OPENING = """\
What each method can decide and where it cannot; a limit in force turns its reading into
a verdict ([limits](limits.md)). The code is what stands in the column `method`.
"""


def _method(method: Any) -> str:  # noqa: ANN401
    rows = [
        ("code", f"`{method.code}`"),
        ("measures", method.measures),
        ("tells of a", method.tells),
        ("made on", ", ".join(method.scopes)),
        ("stages", ", ".join(method.stages) or "any"),
        ("cannot decide", method.cannot),
        ("needs", method.needs),
        ("minutes at the joint", method.minutes),
        ("source", "; ".join(_source(s) for s in method.sources)),
        ("mark", method.mark),
    ]
    return f"## {method.label}\n\n{table(['', ''], rows)}"


def _source(id_: str) -> str:
    return f"[{SOURCES[id_].title}](sources.md#{id_})" if id_ in SOURCES else id_


def findings() -> str:
    """Return the page of every kind of finding, the gravest first."""
    parts = [FINDINGS_OPENING]
    for gravity in Gravity:
        parts.append(f"## {say(f'gravity.{gravity.name.lower()}')}\n")
        parts += [_kind(k) for k in kinds_of(ALL_FINDERS) if k.gravity is gravity]
    return page("Findings", *parts)


FINDINGS_OPENING = """\
What `jointmap findings SITE` looks for. The heading of each part is the gravity; the id
stands in the column `kind`. A finding says what a person should look at and never that
something is safe: local codes and licensed practice come first. `fires` and `is silent`
are an example of the tests, and what differs in the one that does not fire.
"""


def _kind(kind: Kind) -> str:
    example = EXAMPLES[kind.id]
    stripped = [text.strip() for text in example["less"]]
    old, new = (f"`{text}`" if text else "nothing" for text in stripped)
    rows = [
        ("id", f"`{kind.id}`"),
        ("question", say(f"finding_asks.{kind.id}")),
        ("threshold", say(f"finding_fires.{kind.id}", kind.numbers)),
        ("source of the threshold", say(f"finding_source.{kind.source}")),
        ("next step", say(f"finding_next.{kind.id}")),
        ("fires", f"{example['at']}: {example['says']}"),
        ("is silent", f"the same with {new} instead of {old}"),
    ]
    return f"### {say(f'finding.{kind.id}')}\n\n{table(['', ''], rows)}"


EXAMPLES = tomllib.loads(
    (FOLDER.parents[1] / "tests/unit/workflows/finder_cases.toml").read_text("utf-8")
)


def limits() -> str:
    """Return the page of acceptance limits in the catalogue."""
    heading = ["name", "method", "role", "value", "purpose", "source", "mark"]
    rows = [
        (
            limit.name,
            f"`{limit.method}`" if limit.method else "any",
            limit.role,
            f"{limit.value:g} {limit.unit}",
            limit.purpose or "any",
            " ".join([_source(limit.source), limit.clause, limit.edition]),
            limit.mark,
        )
        for limit in LIMITS.values()
    ]
    return page("Acceptance limits", LIMITS_OPENING, table(heading, rows))


LIMITS_OPENING = """\
The catalogue: what may be adopted. Nothing here is in force at a site before a dated
decision copies it (`adopted.csv`, catalogue `limits`). Published limits differ by 25
times, so limit, method and source travel with each verdict.
"""


def rules() -> str:
    """Return the page of interval rules in the catalogue."""
    heading = ["name", "last allowed day", "for", "basis", "source", "mark"]
    heading += ["binds from", "says not"]
    rows = [
        (
            rule.name,
            _length(rule),
            _whom(rule),
            rule.basis,
            " ".join([_source(rule.source), rule.clause, rule.edition]),
            rule.mark,
            _binds(rule),
            rule.says_not,
        )
        for rule in RULES.values()
    ]
    return page("Interval rules", RULES_OPENING, table(heading, rows))


RULES_OPENING = """\
The catalogue: what may be adopted (`adopted.csv`, catalogue `rules`). A date is counted
from the last test that counts, never from the last due date; the last allowed day is in
time; the earliest date of all rules governs. A shorter month clips the day.
"""


def _binds(rule: IntervalRule) -> str:
    day = rule.binds_from_on
    return f"{day}: {rule.binds_from_source}" if day else ""


def _length(rule: IntervalRule) -> str:
    parts = [
        counted(f"{number:g}", unit) if unit else f"x {number:g}"
        for number, unit in (
            (rule.years, "y|y"),
            (rule.months, "month|months"),
            (rule.days, "day|days"),
            (rule.factor, ""),
        )
        if number is not None
    ]
    if rule.trigger == NEXT_REQUIRED_TEST:
        return f"{rule.shape}: before the {rule.trigger}"
    after = f" after {rule.trigger}" if rule.trigger else ""
    return f"{rule.shape}: {', '.join(parts)}{after}"


def _whom(rule: IntervalRule) -> str:
    words = [rule.subject, rule.purpose, rule.severity, rule.structure_kind]
    words += [rule.path_kind, "critical" * rule.critical_only]
    words += ["protected only" * rule.protected_only]
    return ", ".join(word for word in words if word)


def risk() -> str:
    """Return the page of the failure model's defaults: prior, errors, targets."""
    from jointmap.hazard.failure_model import default_prior
    from jointmap.hazard.learning import LEAST_FAILURES
    from jointmap.tables.risk import (
        ERROR_COLUMNS,
        METHOD_ERRORS,
        RISK_TARGETS,
        TARGET_COLUMNS,
        VERDICTS,
    )

    model = default_prior()
    mean = sum(f.pool.mean_rate for f in (model.device, model.place))
    sure = sum(f.pool.likeness for f in (model.device, model.place))
    prior = [
        ("rate, devices and ways around together", f"{mean:g} a joint-year"),
        ("as sure as", f"{sure:g} failure in {sure / mean:g} joint-years"),
        (
            "ageing (Weibull shape), above ground and buried",
            f"{model.shapes()[0]:g}: none",
        ),
        ("spread of joints (Gamma shape)", f"{model.joint_spread:g}"),
        ("least interval", f"{model.least_days} days"),
        (
            f"consequence {model.cautious_class}",
            f"upper {model.cautious_quantile:.0%} of the rate",
        ),
        ("one method, one verdict: counts once within", f"{model.repeat_days} days"),
        ("a joint is left out of its class under", f"{model.small_class} joints"),
        (
            "ageing is learned from",
            f"{LEAST_FAILURES} shorts found of a mechanism on",
        ),
    ]
    errors = [
        (f"`{e.method}`", *_triple(e.failed), *_triple(e.sound), e.note, e.mark)
        for e in METHOD_ERRORS.values()
    ]
    targets = [
        (t.consequence, t.end_chance, t.average_chance, t.cap_months, t.mark)
        for t in RISK_TARGETS.values()
    ]
    heads = [f"{v}, if {t}" for t in ("shorted", "sound") for v in VERDICTS]
    return page(
        "Failure model: defaults",
        RISK_OPENING,
        "## With no data of your own\n",
        table(["item", "default"], prior),
        "## Chance of each verdict\n",
        f"Headings of your own file: `{','.join(ERROR_COLUMNS)}`.\n",
        table(
            ["method", *heads, "note", "mark"],
            errors,
        ),
        "## Chance of a hidden short that may stand\n",
        f"Headings of your own file: `{','.join(TARGET_COLUMNS)}`.\n",
        table(
            ["consequence", "at the end", "on average", "cap, months", "mark"], targets
        ),
    )


def _triple(chances: Sequence[float]) -> list[str]:
    return [f"{chance:g}" for chance in chances]


RISK_OPENING = """\
No published rate, error table or target for isolating joints was found: each number is
a judgement for the owner to confirm or change, and is stored with the model that is
adopted. How they are used: [the failure model](../explanation/failure_model.md).
"""


def calculations() -> str:
    """Return the page of calculations at a desk."""
    from jointmap.workflows.calculate import CALCULATIONS

    parts = [_calculation(name, c) for name, c in CALCULATIONS.items()]
    return page("Calculations", CALCULATIONS_OPENING, *parts)


CALCULATIONS_OPENING = """\
`jointmap calculate NAME input="number unit"` works each of these; without inputs it
shows what it needs. Inputs with a usual value may be left out.
"""


def _calculation(name: str, calculation: Any) -> str:  # noqa: ANN401
    rows = [
        (f"`{i.name}`", i.quantity or ", ".join(i.words), i.usual)
        for i in calculation.inputs
    ]
    source = f"{_source(calculation.source)} {calculation.clause} ({calculation.mark})"
    gives = ", ".join(calculation.results)
    parts = [
        f"## `{name}`\n",
        f"{calculation.title}: `{calculation.formula}`\n",
        table(["input", "quantity", "usual"], rows),
        f"Gives: {gives}. {' '.join(calculation.says)} Source: {source}.",
    ]
    return "\n".join(parts)


def fitting() -> str:
    """Return the page of fitting: checks of a record, tables with their sources."""
    from jointmap.assembly import CHECKS
    from jointmap.tables import fitting_limits, flanges, materials, studs, tightening
    from jointmap.wording.fitting import LABELS

    checks = [(f"`{n}`", LABELS[n], inspect.getdoc(c)) for n, c in CHECKS.items()]
    passes = [p for scheme in tightening.SCHEMES.values() for p in scheme]
    tables = {
        "Limits": list(fitting_limits.FITTING_LIMITS.values()),
        "Tightening schemes": passes,
        "Cross order, first stud of each four": list(tightening.STARTERS.values()),
        "Isolating materials": materials.ISOLATING_MATERIALS,
        "Nut factors": materials.NUT_FACTORS,
        "Stud threads and nuts": studs.STUD_THREADS,
        "Strength of stud grades": studs.STUD_GRADES,
        "Steel washers": studs.STEEL_WASHERS,
        "Reference torques at 50 ksi": studs.REFERENCE_TORQUES,
        "Raised-face flanges": flanges.FLANGES,
    }
    parts = [f"## {name}\n\n{_published(rows)}" for name, rows in tables.items()]
    heading = "## Checks of a fitting record\n\n"
    checked = heading + table(["check", "of", "what is asked"], checks)
    return page("Fitting: checks and tables", FITTING_OPENING, checked, *parts)


FITTING_OPENING = """\
Numbers stand as published. A thing that is not here is told as "not in our tables" and
is never judged by its neighbour's row. The kit's own sheet governs.
"""


def _published(rows: Sequence[Any]) -> str:
    about = ("source", "clause", "edition", "mark")
    names = [n for n in rows[0].__dataclass_fields__ if n not in about]
    heading = [*(n.replace("_", " ") for n in names), "mark", "source"]
    cells = [
        [*(getattr(row, n) for n in (*names, "mark")), " ".join(_cited(row))]
        for row in rows
    ]
    return table(heading, cells)


def _cited(row: Any) -> Iterator[str]:  # noqa: ANN401
    yield f"[{SOURCES[row.source].title.split(',')[0]}](sources.md#{row.source})"
    yield from (part for part in (row.clause, row.edition) if part)


def sources() -> str:
    """Return the page of sources, and of how much of each was read."""
    parts = [
        f'<a id="{s.id}"></a>\n\n## {s.title}\n\n'
        + table(
            ["", ""],
            [("edition", s.edition), ("read", s.seen), ("mark", s.mark)],
        )
        for s in SOURCES.values()
    ]
    return page("Sources", SOURCES_OPENING, *parts)


SOURCES_OPENING = f"""\
Marks: {", ".join(f"`{mark}`" for mark in Mark)}. A value marked from memory is to be
checked against the text before anybody relies on it. Nothing here is legal advice.
"""


def of_many(sentence: str) -> str:
    """Return a sentence as it counts more than one, such as ``{days} days``."""
    plain = re.sub(r"\{\w+:~[^{}|]*\|([^{}]*)\}", r"\1", sentence)
    return re.sub(
        r"\{(\w+)(?::([^{}|;]*);|:)[^{}|]*\|([^{}]*)\}",
        lambda m: f"{{{m[1]}{':' + m[2] if m[2] else ''}}} {m[3]}",
        plain,
    )


def verdicts() -> str:
    """Return the page of verdicts, due states and every reason given for them."""
    reasons = [
        (f"`{v}`", of_many(SENTENCES[id_])) for id_, v in VERDICT_OF_REASON.items()
    ]
    dates = [(of_many(v),) for id_, v in SENTENCES.items() if id_.startswith("due.")]
    parts = [
        VERDICTS_OPENING,
        "## Reasons of a verdict\n",
        table(["verdict", "reason"], reasons),
        "## Due states and bases\n",
        f"{_words(DueState)}. Bases, in the order in which ties go: {_words(Basis)}.\n",
        "## Reasons and steps of a date\n",
        table(["sentence"], dates),
    ]
    return page("Verdicts, dates and their reasons", *parts)


VERDICTS_OPENING = f"""\
A verdict is one of {", ".join(f"`{word}`" for word in Verdict)}; what each means stands
in [the words](../explanation/glossary.md). Values in braces are filled in.
"""


def _words(words: Iterable[object]) -> str:
    return ", ".join(f"`{word}`" for word in words)


def reports() -> str:
    """Return the page of everything that can be printed or published."""
    rows = [(f"`{name}`", inspect.getdoc(r.make)) for name, r in REPORTS.items()]
    return page("Reports", table(["name", "what it is"], rows))


def chain_bytes() -> str:
    """Return the page of every byte that is hashed; its prose stands beside this."""
    prose = Path(__file__).with_name("chain_bytes.md").read_text(encoding="utf-8")
    rows = [row for form in FORMS.values() for row in _forms_of(form)]
    heading = ("kind", "form", "columns")
    return page("Every byte of the record chain", prose, table(heading, rows))


def _forms_of(form: Form) -> Iterator[tuple[object, ...]]:
    starred = {c.name for c in form.columns if c.withheld}
    for number in (*PAST_FORMS.get(form.kind, {}), form.number):
        names = columns_then(form, number) or ()
        marked = (n + "*" * (n in starred) for n in names)
        yield f"`{form.kind}`", number, "`" + " ".join(marked) + "`"


def dependencies() -> str:
    """Return the page of what is installed with the program."""
    heading = ["package", "version", "licence", "asked for by", "why"]
    listed = table(heading, dependency_page.rows())
    return page("What is installed with the program", dependency_page.OPENING, listed)


def notebook() -> str:
    """Return the page of the names of the Python face."""
    asked = [name for name in vars(OpenSite) if not name.startswith("_")]
    calls = [
        _call("jointmap.open", jointmap.open),
        *(_call(f"site.{name}", getattr(OpenSite, name)) for name in asked),
    ]
    made = [_columns_of(name, names) for name, names in NOTEBOOK_COLUMNS.items()]
    opening = f"`site = jointmap.open(path)`: {inspect.getdoc(OpenSite)}\n"
    listed = table(["call", "columns"], made)
    text = page("The Python face", opening, *calls, "## Columns\n", listed)
    return text.replace("``", "`")


NOTEBOOK_COLUMNS = {
    "joints": (*export.COLUMNS, "geometry"),
    "lines": (*day_tables.LINE, "geometry"),
    "due": due_columns.COLUMNS,
    "tests": day_tables.heading_of_tests(),
    "boundaries": day_tables.BOUNDARY,
    "findings": day_tables.FINDING,
}


def _call(name: str, called: Callable[..., object]) -> str:
    """Return a call, without its types, and what is said of it."""
    given = inspect.signature(called).parameters.values()
    words = [p.replace(annotation=p.empty) for p in given if p.name != "self"]
    usage = inspect.Signature(words)
    return f"## `{name}{usage}`\n\n{inspect.getdoc(called)}\n"


def _columns_of(name: str, names: Iterable[str]) -> tuple[str, str]:
    return f"`{name}`", ", ".join(f"`{n}`" for n in names)


def main(words: Sequence[str]) -> int:
    """Write the pages; with ``--check`` say which differ, and end with 1 if any."""
    differing = [name for name, text in _made() if _on_disk(name) != text]
    if "--check" in words:
        sys.stdout.writelines(f"differs: docs/reference/{name}\n" for name in differing)
        return 1 if differing else 0
    for name, text in _made():
        (FOLDER / name).write_text(text, encoding="utf-8", newline="\n")
    return 0


def _made() -> Iterator[tuple[str, str]]:
    return ((name, make()) for name, make in PAGES.items())


def _on_disk(name: str) -> str:
    path = FOLDER / name
    return path.read_text(encoding="utf-8") if path.exists() else ""


PAGES: dict[str, Callable[[], str]] = {
    "calculations.md": calculations,
    "chain_bytes.md": chain_bytes,
    "columns.md": columns,
    "commands.md": commands_page,
    "dependencies.md": dependencies,
    "fitting.md": fitting,
    "findings.md": findings,
    "limits.md": limits,
    "methods.md": methods,
    "notebook.md": notebook,
    "reading_limits.md": reading_limits,
    "reports.md": reports,
    "risk.md": risk,
    "roles.md": roles,
    "rules.md": rules,
    "sources.md": sources,
    "verdicts.md": verdicts,
}

if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
