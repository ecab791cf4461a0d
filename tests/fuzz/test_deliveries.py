"""Changed deliveries through the real load, into a copy of a small site."""

import json
from functools import partial
from pathlib import Path

import pytest

from tests.fuzz.cut_sample import cut_site
from tests.fuzz.mutations import delivery
from tests.fuzz.trial import apart, read_all, trial

CASES = sorted((Path(__file__).parent / "cases").glob("*.json"))
SEED = 11
BATCH = 10
PARTS = 5  # so that all processes have their share


@pytest.fixture(scope="session")
def cut(tmp_path_factory):
    """The cut-down site's folder, and the files it was made from."""
    folder = tmp_path_factory.mktemp("fuzz")
    site, files = cut_site(folder)
    read_all(site)
    site.register.close()
    return folder / "site", files


def culprits(base, batch):
    """Return the deliveries of a batch that fail by themselves, with their faults."""
    alone = {n: apart(partial(trial, base, [d], reads=True)) for n, d in batch.items()}
    return {n: fault for n, fault in alone.items() if fault}


@pytest.mark.parametrize("part", range(PARTS))
def test_changed_deliveries_do_no_harm(cut, count, part):
    base, files = cut
    found, some = {}, count(50, 4_000) // PARTS
    for start in range(part * some, (part + 1) * some, BATCH):
        batch = {n: delivery(files, SEED, n) for n in range(start, start + BATCH)}
        # The readers are the dearest part: each batch at full size, else every other.
        reads = start % (2 * BATCH) == 0 or count(0, 1) == 1
        fault = apart(partial(trial, base, list(batch.values()), reads=reads))
        if fault:
            found |= culprits(base, batch) or {f"{start} to {start + BATCH - 1}": fault}
    assert found == {}


@pytest.mark.parametrize("case", CASES, ids=lambda p: p.stem)
def test_what_was_found_once(cut, case):
    base, _ = cut
    kept = json.loads(case.read_text(encoding="utf-8"))
    files = {n: text.encode("utf-8", "surrogateescape") for n, text in kept.items()}
    assert apart(partial(trial, base, [files], reads=True)) == ""
