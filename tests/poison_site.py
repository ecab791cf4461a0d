"""The small site with one record of every kind that a reader may stumble over."""

import datetime as dt
from collections.abc import Mapping
from typing import Any

from jointmap.pages.due.page import due_text
from jointmap.pages.month.page import write_month
from jointmap.sites.site_folder import SiteFolder
from jointmap.workflows.export import export_joints
from jointmap.workflows.publish import write_pages
from tests.opened_site import ON
from tests.small_site import SHEETS

LINE = (
    '{"features":[{"properties":{"name":"L"},"geometry":{"type":"LineString",'
    '"coordinates":[[-41.8,31.4],[-42.0,31.4]]}}]}'
)
ROAD = (
    '{"features":[{"properties":{"name":"Lane","speed":"30 km/h"},"geometry":'
    '{"type":"LineString","coordinates":[[-41.8,31.41],[-42.0,31.41]]}}]}'
)
# The line is 19.009 km long; its posts run from 0 to 19.
MORE: Mapping[str, str] = {
    "lines.geojson": LINE,
    "roads.geojson": ROAD,
    "chainages.csv": "line,measuring,measured_on,post,latitude,longitude\n"
    "L,2020,2020-01-01,0 km,31.4,-41.8\nL,2020,2020-01-01,19 km,31.4,-42.0\n",
    "instruments.csv": "name,kind\nM1,tester\n",
    "sources.csv": "name,structure,kind,can_be_interrupted\nR1,S1,rectifier,yes\n",
    "crews.csv": "name,persons,depot,day_from,day_until,working_days\n"
    "Crew,2,East yard,07:30,16:00,Mon-Fri\n",
    "positions.csv": "subject,name,latitude,longitude\ncrew,Crew,31.401,-41.901\n",
    "joints_3.csv": "tag,boundary,area,state,in_duty_on\n"
    "J-3,B-1,East,in duty,2016-01-10\nJ-4,B-1,East,planned,\n",
    "devices_3.csv": "joint,fitted_on,removed_on,kind,layout,stud_count\n"
    "J-3,2016-01-05,2019-12-01,flange kit,two-side,8\n"
    "J-3,2020-01-05,,flange kit,two-side,8\n",
}
POISON_SHEETS: dict[str, str | bytes] = {**SHEETS, **MORE}


def every_reader_runs(site: SiteFolder, on: dt.date = ON) -> None:
    """Run what everybody reads; fails where any of them does."""
    facts: dict[str, Any] = {"on": on, "known": None}
    out = site.path.parent / "read"
    out.mkdir(exist_ok=True)
    for form in ("table", "csv", "json"):
        due_text(site, **facts, until=None, form=form)
    write_month(site, f"{on:%Y-%m}", out / "month", **facts)
    export_joints(site, out / "joints.csv", **facts)
    write_pages(site, out / "pages", **facts)
