"""A site that set no bounds: its working system and its other places tell."""

import pytest

from jointmap.register import Joint
from jointmap.snapshot.shown_places import shown_places
from jointmap.workflows.opening import new_site
from tests.opened_site import FIRST, KEY, sent, shown, untried, waiting_lines
from tests.small_site import SHEETS

SITE = """\
code = "SML"
name = "Small site"
time_zone = "Atlantic/Azores"
working_crs = "EPSG:32624"
"""
TEN = "".join(
    f"J-{n},B-1,East,in duty,31.40{n % 10:02d},-41.90{n % 10:02d}\n" for n in range(10)
)
HEAD = "tag,boundary,area,state,latitude,longitude\n"


@pytest.fixture
def site(tmp_path):
    made = untried(new_site(tmp_path / "site", "SML", KEY))
    own = {n: SHEETS[n] for n in ("people.csv", "structures.csv", "boundaries.csv")}
    sent(made, {"this_site.toml": SITE, **own, "joints.csv": HEAD + TEN})
    yield made
    made.register.close()


PLACES = [
    ("31.4004,-41.9004", ""),
    ("31.41,-41.93", ""),
    ("-41.9004,31.4004", "swapped"),
    ("31.4004,41.9004", "sign"),
    ("-31.4004,-41.9004", "sign"),
    ("0,0", "outside"),
    ("31.4004,-47.9004", "outside"),
    ("31.7004,-41.9004", "middle of all other places"),
]


@pytest.mark.parametrize(("place", "word"), PLACES)
def test_a_wrong_place_waits(site, place, word):
    row = f"{HEAD}K-1,B-1,East,in duty,{place}\n"
    sent(site, {"joints.csv": row}, FIRST.replace(month=2))
    told = " ".join(waiting_lines(site))
    assert ("K-1" in told) is bool(word)
    assert word in told


LINE = {
    "lines.geojson": '{"type": "FeatureCollection", "features": [{"type": "Feature", '
    '"properties": {"name": "L"}, "geometry": {"type": "LineString", '
    '"coordinates": [[-41.95, 31.4], [-41.85, 31.4]]}}]}',
    "chainages.csv": "line,measuring,measured_on,post,latitude,longitude\n"
    "L,2020,2020-01-01,0 km,31.4,-41.95\nL,2020,2020-01-01,9.5 km,31.4,-41.85\n",
}
POSTS = "tag,boundary,area,state,line,post,latitude,longitude\n"


def test_a_post_need_not_name_the_only_measuring(site):
    rows = "P-1,B-1,East,in duty,L,4.75 km,,\nP-2,B-1,East,in duty,L,1 km,31.4,-41.90\n"
    sent(site, {**LINE, "joints.csv": POSTS + rows}, FIRST.replace(month=2))
    told = " ".join(waiting_lines(site))
    assert "P-2" in told, "3.75 km from its post"
    with shown(site) as showing:
        drawn = shown_places(showing.state, showing.assessed.ground)
        row = showing.joint_rows[showing.state.ids_of(Joint, "tag", "P-1")[0]]
    assert drawn.longitude_deg[row] == pytest.approx(-41.90, abs=0.001)
