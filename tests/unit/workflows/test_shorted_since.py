"""Since when a boundary is shorted is the day of a test only where a test showed it."""

import pytest

from tests.opened_site import findings, opened

PATHS = "name,boundary,kind,state,fitted_on\nT-1,B-1,temporary bond,joining,{}\n"
TESTS = (
    "scope,joint,path,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off,"
    "interrupted_side,sources_cycling,indication\n"
)
FAR = (
    "joint,J-1,,{},potential-shift,routine,measured,-1.20 V,-0.90 V,-0.85 V,-0.56 V,"
    "A,portable source on S1,\n"
)
LOOK = "parallel path,,T-1,{},look,routine,measured,,,,,,,short\n"
RECORDED = "on record as joined since 2025-10-02"
UNTESTED = "no test has shown it yet"


@pytest.mark.parametrize(
    ("fitted", "tests", "says"),
    [
        ("2025-10-02", "",
         f"shorted by the record of T-1 since 2025-10-02, {UNTESTED}"),
        ("", "", f"shorted by the record of T-1 since an unknown day, {UNTESTED}"),
        ("2025-10-02", FAR.format("2026-01-10"),
         f"shorted since a bad test on 2026-01-10, {RECORDED}"),
        ("2025-10-02", FAR.format("2026-01-10") + FAR.format("2026-01-20"),
         f"shorted since a bad test on 2026-01-10, {RECORDED}"),
        ("2025-10-02", FAR.format("2025-10-02"),
         "shorted since a bad test on 2025-10-02"),
        ("2025-10-02", LOOK.format("2026-01-10"),
         "shorted since a bad test on 2026-01-10"),
        ("2025-10-02", FAR.format("2025-09-10"),
         "shorted since a bad test on 2025-09-10"),
    ],
)  # fmt: skip
def test_since_is_the_first_test_that_showed_it(tmp_path, fitted, tests, says):
    sheets = {"paths.csv": PATHS.format(fitted)}
    sheets |= {"tests.csv": TESTS + tests} if tests else {}
    site = opened(tmp_path, sheets)
    told = [text for kind, _, text in findings(site) if kind == "boundary_shorted"]
    site.register.close()
    assert [text.partition(" (last good: ")[0] for text in told] == [says]
    assert all(text.endswith("; cause found: T-1") for text in told)
