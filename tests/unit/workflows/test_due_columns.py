"""The due list as columns says of each item what is said of it alone."""

import datetime as dt

import numpy as np
import pytest

from jointmap.assessment import reckoning
from jointmap.assessment.assess import assess
from jointmap.hazard.failure_model import DEFAULT_PRIOR, model_in_force
from jointmap.pages.clock_views import clock_text
from jointmap.pages.due.columns import due_columns
from jointmap.pages.due.page import due_csv, due_json, due_table
from jointmap.pages.due.steps import because_of
from jointmap.pages.method_choice import method_for
from jointmap.pages.showing import Showing, subject_link
from jointmap.snapshot.snapshot import snapshot_of
from jointmap.wording import say, say_all
from jointmap.workflows.opening import open_site

ON = dt.date(2026, 5, 15)


@pytest.fixture(params=[False, True], ids=["rules alone", "with a model"])
def showing(demo, request, monkeypatch):
    """The sample's assessment, under the default prior or none."""
    if request.param:
        model = model_in_force(DEFAULT_PRIOR, dt.date(2020, 1, 1))
        monkeypatch.setattr(reckoning, "model_on", lambda _records, _on: model)
    site = open_site(demo / "site")
    with snapshot_of(site.register) as state:
        yield Showing(assess(state, ON), None)
    site.register.close()


def test_each_row_is_what_is_said_of_it_alone(showing):
    items = showing.assessed.items
    table = due_columns(showing, np.arange(len(items)))
    assert {len(column) for column in table.values()} == {len(items)}
    for row in range(len(items)):
        subject, id_ = int(items.subject[row]), int(items.subject_id[row])
        told = {name: column[row] for name, column in table.items()}
        assert (told["because"], told["source"]) == because_of(showing, row)
        assert told["clocks"] == clock_text(showing, subject, id_)
        assert told["method"] == method_for(showing, subject, id_)
        assert told["deferred"] == showing.deferral(row)
        assert told["subject"] == subject_link(showing, subject, id_).text
    assert any(table["clocks"])
    assert any(table["deferred"])
    assert any(table["read_with"])


def test_what_is_read_with_another_is_so_both_ways(showing):
    items = showing.assessed.items
    table = due_columns(showing, np.arange(len(items)))
    pairs = {
        (one, other)
        for one, others in zip(table["subject"], table["read_with"], strict=True)
        for other in filter(None, others.split("; "))
    }
    assert pairs
    assert pairs == {(other, one) for one, other in pairs}


def test_rows_are_in_due_order_and_end_with_those_without_a_date(showing):
    days = due_table(showing)["last_allowed_on"]
    dated = [day for day in days if day]
    assert days == sorted(dated) + [""] * (len(days) - len(dated))
    until = due_table(showing, ON)["planning_on"]
    assert until
    assert all(day <= str(ON) for day in until)


def test_a_cell_that_a_spreadsheet_would_run_is_neutral():
    table = {"a": ["=1+1", "plain"], "b": ["@x", ""]}
    assert due_csv(table) == "a,b\n'=1+1,'@x\nplain,\n"
    assert due_json(table).count("=1+1") == 1


@pytest.mark.parametrize(
    ("id_", "columns"),
    [
        ("due.step_state", {"state": ["in time", "past"]}),
        ("due.trend", {"limit": [2e6, 100.0], "years_left": [1.25, 3.0]}),
        ("due.step_no_date", {}),
    ],
)
def test_a_sentence_for_all_is_that_for_each(id_, columns):
    each = [say(id_, {name: own[n] for name, own in columns.items()}) for n in (0, 1)]
    assert say_all(id_, 2, columns.get) == each
