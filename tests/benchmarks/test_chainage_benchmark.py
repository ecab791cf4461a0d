import numpy as np
import pytest
import shapely

from jointmap.location import measuring, posts_on, to_working
from tests.cpu_time import seconds

pytestmark = pytest.mark.benchmark


def test_posts_to_points_against_shapely():
    # 120 km, 6,000 vertices, 10,000 posts: ratios in one run, never absolute times.
    part = np.linspace(0.0, 1.0, 6_000)
    latitude, longitude = 31.4 + 0.05 * np.sin(40 * part), -41.0 - 1.2 * part
    coordinates = np.column_stack([longitude, latitude])
    line = measuring(coordinates, [[0, *coordinates[0]], [120, *coordinates[-1]]])
    posts = 120.0 * (np.arange(10_000) + 0.5) / 10_000
    plane = np.column_stack(to_working(latitude, longitude, "EPSG:32623"))
    drawn = shapely.linestrings(plane)
    shapely.prepare(drawn)
    metres = posts / 120.0 * drawn.length
    posts_on(line, posts)
    ours = min(seconds(posts_on, line, posts)[0] for _ in range(3))
    theirs = seconds(shapely.line_interpolate_point, drawn, metres)[0]
    print(f"shapely / ours = {theirs / ours:.0f}")  # noqa: T201
    assert theirs > 10.0 * ours
