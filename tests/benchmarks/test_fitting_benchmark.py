"""Fitting: a hundred thousand records reviewed, five hundred worksheets as PDF."""

import datetime as dt
import resource
import time
from dataclasses import replace

import pytest

from jointmap.assembly import Result, Surroundings, fittings_of_records, review_all
from jointmap.register import Installation
from jointmap.wording import say
from jointmap.wording.cautions import CAUTIONS
from jointmap.workflows.worksheet import _pdfs
from jointmap.workflows.worksheet_view import worksheet_view
from tests.fitting_samples import FRAME, KIT, PLACE

pytestmark = pytest.mark.benchmark

RECORDS, REVIEW_SECONDS = 100_000, 10.0
# As many as the sample site's worst place has.
MOST_CAUTIONS = 11
SHEETS, SHEET_SECONDS, WORKER_MIB = 500, 40.0, 600


def record(number):
    """Return a whole fitting record, as a contractor sends it, no two alike."""
    return Installation(
        device_id=1,
        installed_on=dt.date(2026, 5, 15),
        fitter_id=1,
        witness_id=2,
        face_a="clean, no score across the seat",
        face_b=f"clean, pitting repaired at {number % 12} o'clock",
        face_flatness_metre=0.00001 * (number % 20),
        face_defect_depth_metre=0.0001 * (number % 9),
        face_defect_length_metre=0.001 * (number % 25),
        gap_at_rest_metre=0.001 * (number % 8),
        draw_up_newton_metre=10.0 * (number % 11),
        hole_diameter_metre=0.0381,
        steel_washer_thickness_metre=0.0035,
        nut_factor=0.16,
        centreline_offset_metre=0.0001 * (number % 17),
        parallelism_metre=0.0001 * (number % 9),
        hole_offset_metre=0.0001 * (number % 18),
        flange_thickness_a_metre=0.0856,
        flange_thickness_b_metre=0.0857,
        stud_length_metre=0.254 + 0.00635 * (number % 5),
        threads_past_nut=float(number % 4),
        sleeve_length_metre=0.174 + 0.001 * (number % 8),
        sleeve_projection_metre=0.0001 * (number % 40),
        washer_order="nut; steel; isolating; flange",
        lubricant=f"paste {number % 900}",
        torque_tool_id=3,
        torque_target_newton_metre=800.0 + number % 200,
        tightening_scheme=("thirds", "PCC-1 legacy")[number % 2],
        pass_1_newton_metre=280.0,
        pass_2_newton_metre=570.0,
        pass_3_newton_metre=868.0,
        pass_4_newton_metre=868.0,
        dwell_second=3600.0 * (number % 6),
        tests_before="bench",
        tests_after="every stud, radio frequency",
        photos=number % 4,
    )


def test_review(capsys):
    ring = {"gasket_outside_metre": 0.381, "gasket_inside_metre": 0.32385}
    devices = [replace(KIT, serial=str(n), **ring) for n in range(RECORDS)]
    papers = [record(n) for n in range(RECORDS)]
    around = [Surroundings(35.0, tool_in_date=True)] * RECORDS
    begun = time.process_time()
    found = review_all(fittings_of_records(devices, papers, around))
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
    assert seconds < SHEET_SECONDS
    assert peak < WORKER_MIB
