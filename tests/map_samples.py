"""An invented site for the tests of the map: a 62 km line in open ocean."""

import datetime as dt

import numpy as np

from jointmap.site_map.data import MapData, MapJoints, MapLine, MapPoint, Tick

ON = dt.date(2026, 5, 15)
LON_EAST, LON_WEST = -41.550, -42.200
LENGTH_KM = 62
AREAS = ("Jetty", "Terminal", "Line", "Plant", "Town")
KINDS = ("flange kit", "monolithic joint", "union", "coupling")
# area: how many joints, and the share of the line where they stand
GROUPS = {0: (10, 0.0), 1: (16, 0.012), 2: (22, None), 3: (43, 1.0), 4: (27, 0.34)}


def along(share):
    """Return longitudes and latitudes at shares of the line's length."""
    share = np.asarray(share, dtype=float)
    lon = LON_EAST + (LON_WEST - LON_EAST) * share
    lat = 31.388 + 0.033 * share + 0.02 * np.sin(share * 9.0)
    return lon, lat


def sample_line():
    lon, lat = along(np.linspace(0, 1, 200))
    kilometres = np.arange(0, LENGTH_KM + 1)
    tick_lon, tick_lat = along(kilometres / LENGTH_KM)
    ahead_lon, ahead_lat = along(kilometres / LENGTH_KM + 1e-4)
    east = (ahead_lon - tick_lon) * np.cos(np.radians(tick_lat))
    bearing = np.degrees(np.arctan2(east, ahead_lat - tick_lat)) % 360
    ticks = zip(kilometres, tick_lon, tick_lat, bearing, strict=True)
    return MapLine(
        name="Line of the sample",
        lon_lat_deg=np.column_stack([lon, lat]),
        ticks=tuple(Tick(*map(float, t)) for t in ticks),
    )


def _places(count):
    """Return area, longitude and latitude of ``count`` joints, 118 as in GROUPS."""
    area = np.repeat(list(GROUPS), [n for n, _ in GROUPS.values()])
    area = np.resize(area, count)
    row = np.arange(count)
    anchor = np.array([-1.0 if s is None else s for _, s in GROUPS.values()])[area]
    share = np.where(anchor < 0, (row * 0.618034) % 1.0, anchor)
    lon, lat = along(share)
    spread = np.where(area == 2, 0.0, 0.004)
    lon = lon + spread * np.sin(row * 2.4) * np.sqrt((row * 0.37) % 1.0)
    lat = lat + spread * np.cos(row * 2.4) * np.sqrt((row * 0.37) % 1.0)
    return area.astype(np.int16), lon, lat


def sample_joints(count):
    area, lon, lat = _places(count)
    row = np.arange(count)
    verdict = np.choose((row * 7919) % 20, [0] * 12 + [1, 2, 2, 3, 3, 4, 4, 1])
    state = np.choose((row * 104729) % 16, [0] * 9 + [1, 1, 2, 3, 3, 4, 4])
    ahead = np.choose(state, [200, 10, 4, -30, 0]) + (row * 31) % 20
    due_on = np.datetime64(ON) + ahead.astype("timedelta64[D]")
    due_on[state == 4] = np.datetime64("NaT")
    last_on = np.datetime64(ON) - (150 + (row * 17) % 300).astype("timedelta64[D]")
    last_on[verdict == 4] = np.datetime64("NaT")
    doubt = np.zeros(count, dtype=bool)
    if count >= 30:
        lon[27], lat[27] = lon[26] + 8e-6, lat[26]  # two joints 0.8 m apart
        lon[12], lat[12] = lat[12], lon[12]  # axes swapped: on another ocean
        lon[5] = lat[5] = lon[9] = lat[9] = np.nan
        doubt[[12, 15]] = True
    tag = [f"IJ-{n:03d}" for n in row + 1]
    alias = [""] * count
    if count >= 30:
        alias[11] = "IF-12; K/12 old"
        tag[20] = "IJ-021<script>alert(1)</script>"
    return MapJoints(
        tag=tag,
        latitude_deg=lat,
        longitude_deg=lon,
        accuracy_metre=np.where(row % 5 == 0, np.nan, 2.5 + row % 7),
        verdict=verdict.astype(np.int16),
        due_state=state.astype(np.int16),
        boundary=area,
        area=area,
        kind=((row * 13) % 4).astype(np.int16),
        due_on=due_on,
        last_on=last_on,
        is_suspect=(area == 2) & (verdict == 2),
        position_in_doubt=doubt,
        alias=alias,
        dossier=[f"IJ-{n:03d}.html" for n in row + 1],
        where=["KP 18" if a == 2 else "" for a in area],
        because=["Once each calendar year, not exceeding 15 months."] * count,
    )


def sample_map(count=118):
    lon, lat = along([0.3, 0.6])
    return MapData(
        site="Sample coast",
        on=ON,
        known="2026-05-15",
        fingerprint="entry 41, 9f2c 71aa 03be",
        version="0.1.0",
        joints=sample_joints(count),
        boundary_names=tuple(f"{a} | earth" for a in AREAS),
        area_names=AREAS,
        kind_names=KINDS,
        lines=(sample_line(),),
        points=tuple(
            MapPoint(f"R{k + 2}", "rectifier", float(x), float(y) - 0.01)
            for k, (x, y) in enumerate(zip(lon, lat, strict=True))
        ),
    )
