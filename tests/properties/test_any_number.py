"""One cell of the sample with any number in it: told with its place, or harmless.

A row of a delivery of the sample is sent again as a correction, one of its numbers
replaced by any number of any size. Either the answer names file, line and column of the
cell, or every reader runs on what was kept.
"""

import csv
import datetime as dt
import io
import shutil

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from jointmap.attached.within_limits import within
from jointmap.changes.load import load
from jointmap.errors import JointmapError
from jointmap.exchange.files import sheet_of
from jointmap.workflows.demo import sample_folder
from jointmap.workflows.opening import open_site
from jointmap.workflows.trial import READERS, trial_of
from tests.small_site import write

pytestmark = pytest.mark.unmeasured

NOW = dt.datetime(2026, 6, 1, 12, tzinfo=dt.UTC)
MOST_SECONDS = 10.0
LARGE = st.integers(-(10**40), 10**40).map(str)
SPECIAL = st.sampled_from(
    ["0", "-0", "-1", "1e308", "1e-308", "-1e308", "65536", "65548", "2147483648",
     "9223372036854775807", "9223372036854775808", "1e1000", "nan", "inf", "0.1"]
)  # fmt: skip
NUMBERS = st.one_of(
    LARGE, SPECIAL, st.integers(-1000, 1000).map(str), st.floats().map(repr)
)


def _rows():
    """Every row of every table of the sample, by sheet."""
    found = {}
    for path in sorted(sample_folder().glob("*/*.csv")):
        sheet = sheet_of(path.name)
        with path.open(encoding="utf-8", newline="") as file:
            for row in csv.DictReader(file):
                cells = [
                    label
                    for label, column in sheet.columns.items()
                    if column.type in (int, float) and row.get(label)
                ]
                if cells and not column_is_id(sheet):
                    found.setdefault(sheet.name, []).append((row, cells))
    return found


def column_is_id(sheet):
    return sheet.name == "attachments"


ROWS = _rows()


@st.composite
def corrections(draw):
    """A sheet, and one row of it with another number in one cell."""
    sheet = draw(st.sampled_from(sorted(ROWS)))
    row, cells = draw(st.sampled_from(ROWS[sheet]))
    label = draw(st.sampled_from(cells))
    number, unit = draw(NUMBERS), row[label].partition(" ")[2]
    changed = {**row, label: f"{number} {unit}".strip(), "correction_reason": "tried"}
    return sheet, label, changed


@pytest.fixture(scope="module")
def sample(demo, tmp_path_factory):
    """A copy of the demo's site, put back after each example."""
    folder = tmp_path_factory.mktemp("any-number")
    shutil.copytree(demo / "site", folder / "site")
    return folder


def as_csv(row):
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerows([row, row.values()])
    return out.getvalue()


def answer(folder, name, row):
    """The problems that a load tells, and the site it was loaded into."""
    site = open_site(folder / "site")
    sent = write(folder / "sent", {f"{name}.csv": as_csv(row)})
    file = sent / f"{name}.csv"
    try:
        report = load(site, [file], now=NOW, by="E1", reason="tried", tried=False)
    except JointmapError as error:
        return site, list(error.problems)
    return site, [*report.refused, *report.held]


def test_any_number_in_any_cell_is_told_or_harmless(sample, count):
    assert set(ROWS) >= {"tests", "joints", "devices", "installations", "crews"}

    @settings(
        max_examples=count(6, 250),
        suppress_health_check=[HealthCheck.too_slow],
    )
    @given(sent=corrections())
    def run(sent):
        name, label, row = sent
        kept = sample / "kept.sqlite"
        register = sample / "site" / "register.sqlite"
        if not kept.exists():
            shutil.copy(register, kept)
        shutil.copy(kept, register)
        site, problems = answer(sample, name, row)
        try:
            told = [p for p in problems if p.column in (label, "stud")]
            assert all(p.file == f"{name}.csv" and p.line == 2 for p in told)
            if not told:
                with within(MOST_SECONDS), site.register.read() as state:
                    trial_of(site, NOW)(state)
        finally:
            site.register.close()

    run()
    assert READERS
