"""What `why` of one joint costs by size of the site, whole command, cold imports."""

import pytest

from jointmap.register import Joint
from jointmap.sites.site_folder import write_settings
from tests.benchmarks.test_commands_benchmark import cost, told
from tests.large_register import large_register

pytestmark = pytest.mark.benchmark
EACH = 1000
COPIES = [1, 20]
NAMED = 1000  # under --full: 1,000,000 joints with 10,000,000 tests


def test_why_by_size(tmp_path, full):
    least = {}
    for copies in [*COPIES, NAMED] if full else COPIES:
        folder = tmp_path / str(copies)
        folder.mkdir()
        register = large_register(folder / "register.sqlite", EACH, 10, copies)
        with register.read() as state:
            (tag,) = state.values_of(Joint, "tag", [25])
        register.close()
        write_settings(folder, "SYN", None, "register.sqlite")
        words = ("why", folder, tag, "--on", "2026-05-15")
        least[copies] = min(cost(*words) for _ in range(3))
        told(f"why, {EACH * copies} joints", least[copies])
    # As much of a large site is read as of a small one.
    assert least[COPIES[1]][0] < 1.5 * least[COPIES[0]][0]
