"""Worksheets as PDF, and how much the worker that sets them holds.

In a file of its own: a worker begins as large as the process that starts it, and what
was reckoned there before would be counted as the worker's.
"""

import resource
from dataclasses import replace

import pytest

from jointmap.pages.worksheet.page import worksheet_view
from jointmap.wording import say
from jointmap.wording.cautions import CAUTIONS
from jointmap.workflows.worksheet import _pdfs
from tests.benchmarks.baseline import idle
from tests.fitting_samples import FRAME, PLACE

pytestmark = pytest.mark.benchmark

# As many as the sample site's worst place has.
MOST_CAUTIONS = 11
SHEETS, SHEET_SECONDS, WORKER_MIB = 500, 40.0, 600


def cpu():
    who = (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    return sum(u.ru_utime + u.ru_stime for u in map(resource.getrusage, who))


def sheet(number):
    cautions = tuple(say(id_, {"ac_limit": 15.0}) for id_ in CAUTIONS)[:MOST_CAUTIONS]
    joint = replace(PLACE.joint, tag=f"IJ-{number}")
    return worksheet_view(
        replace(PLACE, joint=joint, cautions=cautions), FRAME, "thirds"
    )


def test_worksheets(capsys):
    views = [sheet(n) for n in range(SHEETS)]
    begun = cpu()
    made = sum(1 for _ in _pdfs(views))
    seconds = cpu() - begun
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    with capsys.disabled():
        print(f"\n{made} worksheets: {seconds:.1f} s CPU, worker {peak:.0f} MiB")  # noqa: T201
    assert made == SHEETS
    assert idle(seconds) < SHEET_SECONDS
    assert peak < WORKER_MIB
