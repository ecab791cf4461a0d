"""Fitting: a hundred thousand records reviewed, five hundred worksheets as PDF."""

import datetime as dt
import resource
import time
from dataclasses import replace

import pytest

from jointmap.assembly import Result, fittings_of, review_all
from jointmap.register import Installation
from jointmap.workflows.worksheet import _pdfs
from jointmap.workflows.worksheet_view import worksheet_view
from tests.fitting_samples import FRAME, KIT, PLACE

pytestmark = pytest.mark.benchmark

RECORDS, REVIEW_SECONDS = 100_000, 10.0
SHEETS, SHEET_SECONDS, WORKER_MIB = 500, 40.0, 600


def test_review(capsys):
    papers = [
        Installation(
            device_id=1,
            installed_on=dt.date(2026, 5, 15),
            lubricant=f"paste {n % 900}",
            torque_target_newton_metre=800.0 + n % 200,
            tightening_scheme="thirds",
        )
        for n in range(RECORDS)
    ]
    begun = time.process_time()
    found = review_all(fittings_of([KIT] * RECORDS, papers))
    faults = sum(1 for _ in found.faults())
    seconds = time.process_time() - begun
    with capsys.disabled():
        told = f"{RECORDS:,} records reviewed: {seconds:.1f} s CPU, {faults:,} faults"
        print(f"\n{told}")  # noqa: T201
    assert found.count(Result.MEETS).shape == (RECORDS,)
    assert seconds < REVIEW_SECONDS


def cpu():
    who = (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    return sum(u.ru_utime + u.ru_stime for u in map(resource.getrusage, who))


def test_worksheets(capsys):
    views = [
        worksheet_view(
            replace(PLACE, joint=replace(PLACE.joint, tag=f"IJ-{n}")), FRAME, "thirds"
        )
        for n in range(SHEETS)
    ]
    begun = cpu()
    made = sum(1 for _ in _pdfs(views))
    seconds = cpu() - begun
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    with capsys.disabled():
        print(f"\n{made} worksheets: {seconds:.1f} s CPU, worker {peak:.0f} MiB")  # noqa: T201
    assert made == SHEETS
    assert seconds < SHEET_SECONDS
    assert peak < WORKER_MIB
