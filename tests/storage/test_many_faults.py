"""Many faults at once: the first are named, all are counted, the end is told."""

import pytest

from jointmap.register import Joint
from jointmap.storage.database import writing
from jointmap.storage.guard import put_guard, take_guard
from jointmap.storage.schema import GUARDED
from jointmap.storage.verifying.checking import MOST
from jointmap.workflows.opening import new_site
from jointmap.workflows.soundness.backup import backup
from jointmap.workflows.soundness.verify import MOST_FILES, lines_of, verify_site
from tests.storage.samples import DAY, KEY, NOON, fill, first_delivery, joint, unasked


@pytest.fixture
def site(url, tmp_path):
    made = new_site(tmp_path / "site", "X", KEY, None, url)
    fill(made.register, *first_delivery())
    yield made
    made.register.close()


def test_of_many_faults_the_first_are_named_and_all_are_counted(site, tmp_path):
    """And the copy is of the whole register, whatever its end."""
    with unasked(site.register, NOON + 2 * DAY, "P1", "many") as job:
        for number in range(30):
            job.add(joint(f"MANY-{number}"))
    with unasked(site.register, NOON + 3 * DAY, "P1", "the last") as job:
        job.add(joint("LAST"))
    with site.register.read() as state:
        last = state.last.fingerprint
    with writing(site.register.engine) as connection:
        take_guard(connection, GUARDED)
        connection.exec_driver_sql("UPDATE record_joint SET remark = 'x'")
        put_guard(connection, GUARDED)
    with site.register.read() as state:
        rows = len(state.revisions(Joint))
    checked = backup(site, tmp_path / "b.zip").checked
    assert (checked.fingerprint, checked.entries) == (last, int(last.partition("-")[0]))
    assert (len(checked.problems), checked.more) == (MOST, rows - MOST)
    for lines in (lines_of(checked), verify_site(site.path).lines):
        assert len(lines) == MOST + 1
        assert lines[-1].startswith(f"faults: {rows}, the first {MOST} named. ")


def test_of_many_files_too(tmp_path):
    site = new_site(tmp_path / "site", "X", KEY, NOON.date())
    fill(site.register, *first_delivery())
    site.register.close()
    for number in range(25):
        (site.path / f"other-{number}.txt").touch()
    lines = verify_site(site.path).lines
    assert len(lines) == MOST_FILES + 1
    assert lines[-1].startswith(f"faults: 25, the first {MOST_FILES} named, ")
