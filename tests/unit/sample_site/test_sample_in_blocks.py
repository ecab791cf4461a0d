"""Reckoned in small blocks, the sample's dates and states are the same."""

import datetime as dt
import sys
from dataclasses import fields, is_dataclass

import numpy as np

from jointmap.hazard import candidates as hazard_candidates
from jointmap.hazard.failure_model import DEFAULT_PRIOR, model_in_force
from jointmap.storage.as_columns import arrays
from jointmap.assessment import blocks
from jointmap.assessment import reckoning
from jointmap.assessment.assess import assess
from jointmap.workflows.opening import open_site
from jointmap.snapshot.snapshot import snapshot_of

ON = dt.date(2026, 5, 15)


def _assessed(demo):
    site = open_site(demo / "site")
    with snapshot_of(site.register) as state:
        found = assess(state, ON)
    site.register.close()
    return found


def _same(one, other, name=""):
    if isinstance(one, np.ndarray) and one.dtype == np.float64:
        # Sums over more joints at a time round otherwise.
        np.testing.assert_allclose(one, other, rtol=1e-9, err_msg=name)
    elif isinstance(one, np.ndarray):
        np.testing.assert_array_equal(one, other, err_msg=name)
    elif is_dataclass(one):
        for field in fields(one):
            own = f"{name}.{field.name}"
            _same(getattr(one, field.name), getattr(other, field.name), own)


def test_blocks_change_nothing(demo, monkeypatch):
    model = model_in_force(DEFAULT_PRIOR, dt.date(2020, 1, 1))
    monkeypatch.setattr(reckoning, "model_on", lambda _records, _on: model)
    whole = _assessed(demo)
    monkeypatch.setattr(arrays, "PART", 11)
    monkeypatch.setattr(blocks, "AT_A_TIME", 7)
    monkeypatch.setattr(hazard_candidates, "_AT_A_TIME", 3)
    monkeypatch.setattr(sys.modules["jointmap.intervals.decide"], "_AT_A_TIME", 13)
    found = _assessed(demo)
    names = (
        "ground", "tests", "judgements", "evidence", "subjects", "triggers",
        "joints", "boundaries", "suspects", "not_proved_on", "history",
    )  # fmt: skip
    for name in names:
        _same(getattr(found, name), getattr(whole, name), name)
    _same(found.risk, whole.risk, "risk")
    # Candidates stand in another order; which govern, and all else, is the same.
    for name in ("subject_id", "last_allowed_on", "planning_on", "reason", "state"):
        _same(getattr(found.items, name), getattr(whole.items, name), name)
