"""Each rule of the catalogue that waits for a fact fires on one that can be loaded."""

import pytest

from jointmap.register.rule_codes import TRIGGERS, RuleShape
from jointmap.tables.interval_rules import RULES
from tests.opened_site import opened, shown

HEAD = "scope,joint,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off,"
HEAD += "interrupted_side,sources_cycling,cycles\n"
READ = "joint,J-1,2025-11-01,potential-shift,routine,measured,-1.20 V,-0.90 V,"
SOURCES = "name,structure,kind,can_be_interrupted\nR1,S1,rectifier,yes\n"
FITTED = "joint,device_fitted_on,installed_on,{}\nJ-1,2020-01-05,2020-01-05,{}\n"
ALLOWED = """\
joint,fitted_on,kind,lubricant_allowed,batch,correction_reason
J-1,2020-01-05,flange kit,non-metallic paste,B-77,leaflet found
"""
SHORT = """\
scope,joint,tested_on,method,stage,outcome,indication
joint,J-1,2025-11-01,radio-frequency,routine,measured,short
"""
STUDS = """\
scope,joint,tested_on,method,stage,outcome,reading,stud,side
stud,J-1,2025-11-01,stud-resistance,routine,measured,0.5 ohm,3,A
stud,J-1,2025-11-01,stud-resistance,routine,measured,50 Mohm,3,B
"""
STUD_LIMITS = """\
catalogue,name,from_on
limits,Stud side 1 Mohm,2020-01-01
limits,Stud side: metal contact,2020-01-01
"""
SURGE = "name,boundary,joint,kind,state,fitted_on\n"
SURGE += "SD-1,B-1,J-1,surge protective device,apart,2020-01-05\n"
HAPPENED = "happened_on,kind,place,joint\n2025-10-03,{},{},{}\n"
# What raises a fact that is not an occurrence.
RAISED = {
    "last result shorted": {"tests.csv": SHORT},
    "last result doubtful or shorted": {"sources.csv": SOURCES,
        "tests.csv": f"{HEAD}{READ}-0.85 V,-0.76 V,A,R1,5\n"},
    "one side of a stud lost": {"tests.csv": STUDS, "adopted.csv": STUD_LIMITS},
    "wrong lubricant": {"devices.csv": ALLOWED,
        "installations.csv": FITTED.format("lubricant", "nickel anti-seize")},
    "fitting fault": {
        "installations.csv": FITTED.format("parallelism", "9 mm")},
    "batch under suspicion": {"devices.csv": ALLOWED,
        "occurrences.csv": HAPPENED.format("batch under suspicion", "b-77", "")},
}  # fmt: skip
SHAPES = ("multiplier", "after occurrence")
WAITING = {name: rule for name, rule in RULES.items() if rule.shape in SHAPES}
OWN = "rules,owner-protection-normal,2020-01-01\n"


def sheets_for(name: str, trigger: str) -> dict[str, str]:
    happened = {"occurrences.csv": HAPPENED.format(trigger, "here", "J-1")}
    more = dict(RAISED.get(trigger, happened))
    adopted = more.get("adopted.csv", "catalogue,name,from_on\n")
    joints = "tag,boundary,area,state,in_duty_on,severity,correction_reason\n"
    return {
        "joints.csv": f"{joints}J-1,B-1,East,in duty,2020-01-10,normal,kept\n",
        "paths.csv": SURGE,
        **more,
        "adopted.csv": f"{adopted}{OWN}rules,{name},2020-01-01\n",
    }


def dated_by(tmp_path, name: str, sheets: dict[str, str]) -> bool:
    """Whether a rule sets a date of the site with these sheets."""
    site = opened(tmp_path, sheets)
    with shown(site) as showing:
        found = showing.assessed.candidates
        own = {n for n, r in showing.state.rules.items() if r.name == name}
        fires = bool(own & set(found.rule_id.tolist()))
    site.register.close()
    return fires


@pytest.mark.parametrize("name", WAITING)
def test_a_rule_that_waits_for_a_fact_fires(tmp_path, name):
    sheets = sheets_for(name, WAITING[name].trigger)
    assert dated_by(tmp_path / "a", name, sheets)
    kept = ("joints.csv", "paths.csv", "adopted.csv")
    silent = {sheet: sheets[sheet] for sheet in kept}
    assert not dated_by(tmp_path / "b", name, silent)


def test_every_fact_that_a_rule_may_wait_for_is_one_of_the_list():
    waited = {r.trigger for r in RULES.values() if r.trigger}
    assert waited <= set(TRIGGERS)
    assert {str(shape) for shape in RuleShape} >= {r.shape for r in RULES.values()}


@pytest.mark.parametrize("kind", ["wrong part", "too hot"])
def test_what_was_found_at_a_device_ends_with_it(tmp_path, kind):
    name = f"owner-shorten-{kind.replace(' ', '-')}"
    sheets = sheets_for(name, kind)
    new = "joint,fitted_on,kind,layout,stud_count,removed_on,correction_reason\n"
    new += "J-1,2020-01-05,flange kit,two-side,8,2025-10-20,replaced\n"
    new += "J-1,2025-10-20,flange kit,two-side,8,,\n"
    assert dated_by(tmp_path / "a", name, sheets)
    assert not dated_by(tmp_path / "b", name, sheets | {"devices.csv": new})
