"""How large the map file gets, and how long it takes to write."""

import dataclasses
import runpy
import time

import numpy as np
import pytest

from jointmap.site_map.page import page

pytestmark = pytest.mark.benchmark
MOST_BYTES = {100_000: 3_000_000}


def surveyed(data):
    """Give each joint a place of its own to 1 cm, as a survey would: hard to pack."""
    joints = data.joints
    row = np.arange(len(joints), dtype=np.uint64)
    mixed = (row + np.uint64(1)) * np.uint64(0x9E3779B97F4A7C15)
    mixed ^= mixed >> np.uint64(29)
    mixed *= np.uint64(0xBF58476D1CE4E5B9)
    noise = (mixed >> np.uint64(40)).astype(float) / 2**24
    other = (mixed & np.uint64(0xFFFFFF)).astype(float) / 2**24
    return dataclasses.replace(
        data,
        joints=dataclasses.replace(
            joints,
            latitude_deg=np.round(joints.latitude_deg + 0.05 * noise, 7),
            longitude_deg=np.round(joints.longitude_deg + 0.05 * other, 7),
            due_on=joints.due_on + (noise * 300).astype("timedelta64[D]"),
            last_on=joints.last_on - (other * 300).astype("timedelta64[D]"),
        ),
    )


@pytest.mark.parametrize("number", [1_000, 100_000, 1_000_000])
def test_map_size(root, number):
    make = runpy.run_path(str(root / "tests" / "map_samples.py"))["sample_map"]
    data = surveyed(make(number))
    start = time.process_time()
    size = len(page(data).encode())
    spent = time.process_time() - start
    print(f"map of {number:,} joints: {size / 1e6:.2f} MB, {spent:.2f} s of CPU")  # noqa: T201
    assert size <= MOST_BYTES.get(number, 30 * number + 300_000)
