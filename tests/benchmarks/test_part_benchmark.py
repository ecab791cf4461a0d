"""What one answer costs by size of the site, whole command, cold imports."""

import pytest

from jointmap.register import Boundary, Joint
from jointmap.sites.site_folder import write_settings
from jointmap.storage import Register
from tests.benchmarks.test_commands_benchmark import cost, told
from tests.large_register import large_register

pytestmark = pytest.mark.benchmark
EACH = 1000
COPIES = [1, 20]
NAMED = 1000  # under --full: 1,000,000 joints with 10,000,000 tests


@pytest.fixture(scope="module")
def sites(tmp_path_factory, full):
    """Folders of sites by how often they hold a thousand joints."""
    made = {}
    for copies in [*COPIES, NAMED] if full else COPIES:
        made[copies] = folder = tmp_path_factory.mktemp(str(copies))
        large_register(folder / "register.sqlite", EACH, 10, copies).close()
        write_settings(folder, "SYN", None, "register.sqlite")
    return made


@pytest.mark.parametrize("command", ["why", "dossier", "boundary", "findings"])
def test_one_answer_by_size(sites, command):
    least = {}
    for copies, folder in sites.items():
        words = (command, folder, _name(folder, command), "--on", "2026-05-15")
        least[copies] = min(cost(*words) for _ in range(3))
        told(f"{command}, {EACH * copies} joints", least[copies])
    # As much of a large site is read as of a small one.
    assert least[COPIES[1]][0] < 1.5 * least[COPIES[0]][0]


def _name(folder, command):
    kind, column = (Boundary, "name") if command == "boundary" else (Joint, "tag")
    register = Register.open(f"sqlite:///{folder}/register.sqlite", "SYN")
    with register.read() as state:
        (name,) = state.values_of(kind, column, [25])
    register.close()
    return name
