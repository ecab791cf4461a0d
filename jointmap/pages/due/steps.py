"""A subject's due date as a page shows it."""

import datetime as dt
from typing import Any

from jointmap.assessment.assess import Assessment
from jointmap.assessment.reasons_told import due_because, numbers_of
from jointmap.assessment.site_on_day import day_of
from jointmap.assessment.subjects import boundary_of, joined_now
from jointmap.due_list import steps
from jointmap.pages.due.limits import limit_rows
from jointmap.pages.showing import Showing
from jointmap.register.codes import Basis, Subject
from jointmap.reports.views import Step
from jointmap.reports.views_dossier import DueView
from jointmap.wording import say, say_told

# What is told otherwise of a path that is permitted to join: nothing is to be repaired.
_PERMITTED = {"due.step_action": "due.step_permitted"}


def due_view(showing: Showing, subject: Subject, id_: int) -> DueView:
    """Return the last allowed day of a subject with every step to it."""
    sign = showing.due_sign(subject, id_)
    row = showing.item_rows.get((subject.code, id_))
    limits = limit_rows(showing, subject, id_)
    if row is None:
        return DueView(state=sign, limits=limits)
    sentence, source = because_of(showing, row)
    return DueView(
        state=sign,
        last_allowed_on=day_of(showing.assessed.items.last_allowed_on[row]),
        because=sentence,
        source=source,
        steps=(*_steps(showing, row), *_deferral(showing, row)),
        limits=limits,
    )


def because_of(showing: Showing, row: int) -> tuple[str, str]:
    """Return the one sentence of a due item, and the source of what governs.

    Where the law sets a day that does not govern, that day stands beside it.
    """
    told, source = due_because(showing.assessed, row)
    law = day_of(showing.behind_on[row])
    return say_told(told) + (say("due.by_law", {"law": law}) if law else ""), source


def basis_of(showing: Showing, row: int) -> str:
    """Return the word of the basis that governs an item; blank for none."""
    code = int(showing.assessed.items.basis[row])
    return str(Basis.at(code)) if code >= 0 else ""


def _steps(showing: Showing, row: int) -> tuple[Step, ...]:
    found = showing.assessed
    made = steps(
        row,
        found.subjects,
        found.candidates,
        found.items,
        found.sources,
        numbers_of(found),
    )
    permitted = _is_permitted(found, row)
    told = tuple(
        _step(_PERMITTED.get(id_, id_) if permitted else id_, values)
        for id_, values in made
    )
    return (*told, *_without_risk(found, row))


def _is_permitted(found: Assessment, row: int) -> bool:
    """Whether an item is a path that joins its boundary by permission."""
    items = found.items
    subject, id_ = items.subject[[row]], items.subject_id[[row]]
    boundary = boundary_of(found.ground, subject, id_)
    is_path = items.subject[row] == Subject.PATH.code
    return bool(is_path and boundary[0] in joined_now(found.ground))


def _without_risk(found: Assessment, row: int) -> tuple[Step, ...]:
    """Return why a model in force gives this joint no date."""
    none = found.risk and found.risk.none_for(int(found.items.row[row]))
    return (Step(sentence=say(none)),) if none else ()


def _deferral(showing: Showing, row: int) -> tuple[Step, ...]:
    told = showing.deferral(row)
    return (Step(sentence=told),) if told else ()


def _step(id_: str, values: dict[str, Any]) -> Step:
    governs = id_ == "due.step_governs"
    own = {k: values[k] for k in ("basis", "source") if k in values and not governs}
    day = values.get("due") if not governs else None
    on = day if isinstance(day, dt.date) else None
    return Step(
        sentence=say(id_, values),
        on=on,
        basis=str(own.get("basis", "")),
        source=str(own.get("source", "")),
        governs=governs,
    )
