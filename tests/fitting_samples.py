"""Joints to be fitted, for tests of worksheets: every kind, every layout."""

import datetime as dt
from dataclasses import replace

from jointmap.pages.worksheet.places import Place
from jointmap.register import Boundary, Device, Joint
from jointmap.register.codes import DeviceKind, JointState, Layout, Purpose
from jointmap.reports.views import Frame

DAY = dt.date(2026, 5, 15)
FRAME = Frame(
    site="Orsanne", on=DAY, known=DAY, entry=7, fingerprint="7-abcdef", version="0.0"
)
FOOT_POUND = 1.3558179483314004
KIT = Device(
    joint_id=1,
    fitted_on=DAY,
    kind=DeviceKind.FLANGE_KIT,
    serial="4001",
    layout=Layout.TWO_SIDE,
    nominal_size="NPS 12",
    pressure_class=900,
    facing="raised face",
    gasket_material="glass-epoxy laminate",
    gasket_thickness_metre=0.003175,
    gasket_core="316 stainless steel",
    sleeve_material="glass-epoxy",
    sleeve_thickness_metre=0.00079375,
    washer_material="glass-epoxy",
    washer_thickness_metre=0.003175,
    steel_washer_thickness_metre=0.003175,
    stud_size="1-3/8",
    stud_count=20,
    stud_grade="B7",
    lubricant_allowed="non-metallic paste",
    torque_target_newton_metre=640 * FOOT_POUND,
)
PLACE = Place(
    joint=Joint(tag="IJ-901", boundary_id=1, area="North", state=JointState.PLANNED),
    device=KIT,
    boundary=Boundary(
        name="B-1", structure_a_id=1, structure_b_id=2, purpose=Purpose.PROTECTION
    ),
    structure_a="S1",
    structure_b="plant earth",
    aliases=("IF-12",),
    cautions=("Measure AC first.", "No work while thunder can be heard."),
)
# stud count -> a kit with so many
STUDS = {
    4: {"nominal_size": "NPS 2", "pressure_class": 150, "stud_size": "5/8"},
    8: {"nominal_size": "NPS 8", "pressure_class": 150, "stud_size": "3/4"},
    20: {},
    32: {"nominal_size": "NPS 30", "pressure_class": 600, "stud_size": "1-7/8"},
}


def place(**fields):
    """Return a place whose device has other ``fields``."""
    return replace(PLACE, device=replace(KIT, **fields))


def kit_of(count):
    """Return a place whose kit has ``count`` studs."""
    return place(stud_count=count, **STUDS[count])


def whole(kind):
    """Return a place with a device that comes whole."""
    made = Device(joint_id=1, fitted_on=DAY, kind=kind, nominal_size="NPS 16")
    return replace(PLACE, device=made)
