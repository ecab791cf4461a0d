"""Fitting records reviewed, from memory and from the database."""

import datetime as dt
import resource
import sqlite3
import time
from dataclasses import replace

import numpy as np
import pytest

from jointmap.assembly import Result, Surroundings, fittings_of_records, review_all
from jointmap.register import Installation
from jointmap.snapshot.fittings import reviewed_now
from jointmap.snapshot.site_columns import read_ground
from jointmap.snapshot.snapshot import snapshot_of
from tests.benchmarks.baseline import idle
from tests.fitting_samples import KIT
from tests.large_register import large_register

pytestmark = pytest.mark.benchmark

RECORDS, REVIEW_SECONDS = 100_000, 10.0


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
    assert idle(seconds) < REVIEW_SECONDS


# Every cell that a review reads, as SQL by the id of the row.
PAPER_CELLS = """
fitter_id = 1, witness_id = 1, face_a = 'clean, no score across the seat',
face_b = 'clean, pitting repaired at ' || (id % 12) || ' o''clock',
face_flatness_metre = 0.00001 * (id % 20), face_defect_depth_metre = 0.0001 * (id % 9),
face_defect_length_metre = 0.001 * (id % 25), gap_at_rest_metre = 0.001 * (id % 8),
draw_up_newton_metre = 10.0 * (id % 11), hole_diameter_metre = 0.0381,
steel_washer_thickness_metre = 0.0035, nut_factor = 0.16,
centreline_offset_metre = 0.0001 * (id % 17), parallelism_metre = 0.0001 * (id % 9),
hole_offset_metre = 0.0001 * (id % 18), flange_thickness_a_metre = 0.0856,
flange_thickness_b_metre = 0.0857, stud_length_metre = 0.254 + 0.00635 * (id % 5),
threads_past_nut = 1.0 * (id % 4), sleeve_length_metre = 0.174 + 0.001 * (id % 8),
sleeve_projection_metre = 0.0001 * (id % 40), torque_tool_id = 1,
washer_order = 'nut; steel; isolating; flange', lubricant = 'paste ' || (id % 900),
torque_target_newton_metre = 800.0 + id % 200, pass_1_newton_metre = 280.0,
tightening_scheme = CASE id % 2 WHEN 0 THEN 'thirds' ELSE 'PCC-1 legacy' END,
pass_2_newton_metre = 570.0, pass_3_newton_metre = 868.0, pass_4_newton_metre = 868.0,
dwell_second = 3600.0 * (id % 6), tests_before = 'bench', photos = id % 4,
tests_after = 'every stud, radio frequency'"""
KIT_CELLS = """
kind = 'flange kit', layout = 'two-side', nominal_size = 'NPS 12', pressure_class = 900,
facing = 'raised face', gasket_material = 'glass-epoxy laminate', stud_size = '1-3/8',
gasket_thickness_metre = 0.003175, gasket_outside_metre = 0.381, stud_grade = 'B7',
gasket_inside_metre = 0.32385, sleeve_material = 'glass-epoxy', stud_count = 20,
sleeve_thickness_metre = 0.00079375, washer_material = 'glass-epoxy',
washer_thickness_metre = 0.003175, steel_washer_thickness_metre = 0.003175,
lubricant_allowed = 'non-metallic paste', torque_target_newton_metre = 867.7"""


def test_review_from_database(tmp_path, count, capsys):
    path = tmp_path / "large.sqlite"
    register = large_register(path, 5_000, 1, count(4, 259))
    with sqlite3.connect(path) as connection:
        for kind, cells in (("installation", PAPER_CELLS), ("device", KIT_CELLS)):
            connection.execute(f"UPDATE record_{kind} SET {cells}")  # noqa: S608
    with snapshot_of(register) as state:
        ground = read_ground(state, np.datetime64("2026-05-15"))
        before = peak()
        begun = time.process_time()
        parts = [
            (len(p.joint_id), sum(len(rows) for _, rows in p.review.failed()))
            for p in reviewed_now(state, ground)
        ]
        seconds = time.process_time() - begun
    register.close()
    records, faults = map(sum, zip(*parts, strict=True))
    more = peak() - before
    with capsys.disabled():
        told = f"{records:,} records of {len(ground.joints):,} joints from SQLite"
        print(f"\n{told}: {seconds:.1f} s CPU, {more:.0f} MiB, {faults:,} faults")  # noqa: T201
    assert records > faults / 9 > 0


def peak():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
