"""What a published folder costs: many joints, and a line of very many points."""

import numpy as np
import pytest

from jointmap.sites.site_folder import write_settings
from tests.benchmarks.baseline import idle
from tests.benchmarks.test_commands_benchmark import cost, told
from tests.large_register import large_register

pytestmark = pytest.mark.benchmark
POINTS = 100_000
FULL_COPIES = 10  # under --full: 10,000 joints with 50,000 tests


def published(folder, joints, copies, **more):
    """Return CPU seconds and most memory of ``publish``, and the folder's MB."""
    folder.mkdir()
    path = folder / "register.sqlite"
    large_register(path, joints, 5, copies, **more).close()
    write_settings(folder, "SYN", None, "register.sqlite")
    out = folder.with_name(f"{folder.name}-pages")
    found = cost("publish", folder, "--out", out, "--on", "2026-05-15")
    size = sum(f.stat().st_size for f in out.rglob("*") if f.is_file()) / 1e6
    told(f"publish, {joints * copies} joints, {size:.0f} MB", found)
    return *found, size


def test_publish_on_a_line_of_very_many_points(tmp_path):
    along = np.linspace(0, 1, POINTS)
    bend = 31.4 + 0.002 * np.sin(along * 4000) + 0.01 * np.sin(along * 9)
    line = np.column_stack([-41.55 - 0.65 * along, bend]).round(7).tolist()
    seconds, memory, size = published(tmp_path / "site", 308, 1, line=line)
    assert idle(seconds) < 10
    assert memory < 500
    assert size < 40


def test_twice_the_joints_cost_twice(tmp_path, full):
    copies = FULL_COPIES if full else 1
    half = published(tmp_path / "half", 500, copies, model=True)
    whole = published(tmp_path / "whole", 1000, copies, model=True)
    assert whole[0] < 2.2 * half[0]
    assert whole[1] < 700
