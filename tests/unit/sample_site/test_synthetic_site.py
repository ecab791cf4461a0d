"""The made-up site: same arguments, same site; sheets that load whole."""

import datetime as dt
from collections import Counter
from pathlib import Path

import numpy as np
import pytest

from jointmap.exchange import read_drafts, read_file
from jointmap.register import FORMS
from tests.synthetic import as_json, rows_as_records, synthetic_site
from tests.synthetic_kinds import BLOCK
from tests.synthetic_readings import SYNTHETIC_DAY
from tests.synthetic_sheets import write_sheets

AREAS = {"Jetty": 10, "Terminal": 16, "Line": 22, "Plant": 34, "Water": 9, "Town": 7}


def test_same_arguments_give_the_same_site_and_other_seeds_another() -> None:
    one = as_json(synthetic_site(300, 4, 7))
    assert one == as_json(synthetic_site(300, 4, 7))
    assert one != as_json(synthetic_site(300, 4, 8))


def test_a_block_has_the_proportions_of_the_sample() -> None:
    assert sum(k.joints for k in BLOCK) == 118
    area = Counter(synthetic_site(1180, 1, 1).columns["joint"]["area"])
    assert area == {**{k: 10 * n for k, n in AREAS.items()}, "Meters": 200}


@pytest.mark.parametrize(("joints", "per_joint"), [(1, 1), (119, 3), (1000, 40)])
def test_columns_are_of_one_length_and_days_lie_in_the_past(
    joints: int, per_joint: int
) -> None:
    site = synthetic_site(joints, per_joint, 3)
    for kind, columns in site.columns.items():
        assert {len(v) for v in columns.values()} == {site.counts[kind]}, kind
    test = site.columns["test"]
    assert site.counts["test"] == joints * per_joint
    assert test["tested_on"].max() < np.datetime64(SYNTHETIC_DAY, "D")
    fitted = site.columns["device"]["fitted_on"][test["joint_id"] - 1]
    assert (test["tested_on"] >= fitted).all()


def test_rows_are_whole_records_with_keys_of_their_own() -> None:
    site = synthetic_site(240, 5, 11)
    for kind in site.columns:
        records = list(rows_as_records(site, kind))
        assert len({r.key() for r in records}) == site.counts[kind], kind


def test_boundaries_have_few_joints_and_one_structure_to_each_side() -> None:
    site = synthetic_site(1180, 1, 1)
    per_boundary = np.bincount(site.columns["joint"]["boundary_id"])[1:]
    assert 1 <= per_boundary.min() <= per_boundary.max() <= 8
    boundary = site.columns["boundary"]
    assert (boundary["structure_a_id"] != boundary["structure_b_id"]).all()
    assert len(set(boundary["structure_b_id"].tolist())) == site.counts["boundary"]


def test_sheets_are_read_back_without_a_fault(tmp_path: Path) -> None:
    site = synthetic_site(120, 3, 5)
    write_sheets(tmp_path, site)
    found: Counter[str] = Counter()
    for path in sorted(tmp_path.iterdir()):
        read = read_drafts(read_file(path.name, path.read_bytes()))
        assert read.refused == []
        assert [d.held for d in read.drafts if d.held] == []
        found.update(d.kind for d in read.drafts)
    sent = [k for k in site.counts if k in FORMS]
    assert {k: found[k] for k in sent} == dict(site.counts)


def test_sheets_give_the_values_of_the_columns(tmp_path: Path) -> None:
    site = synthetic_site(60, 2, 5)
    write_sheets(tmp_path, site)
    path = tmp_path / "tests.csv"
    drafts = read_drafts(read_file(path.name, path.read_bytes())).drafts
    records = list(rows_as_records(site, "test"))
    for draft, record in zip(drafts, records, strict=True):
        for name in ("tested_on", "method", "outcome", "indication", "cycles"):
            assert draft.values.get(name) == getattr(record, name)
        for name in ("reading_ohm", "a_on_volt", "b_off_volt"):
            sent, own = draft.values.get(name), getattr(record, name)
            assert sent == (None if own is None else pytest.approx(own, rel=1e-9))
    assert isinstance(drafts[0].values["tested_on"], dt.date)
