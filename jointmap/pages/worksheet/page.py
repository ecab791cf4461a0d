"""What the fitting worksheet of a joint says, from the joint and its device."""

from collections.abc import Iterator
from dataclasses import replace

from jointmap.assembly.limits import limit
from jointmap.assembly.passes import passes_of
from jointmap.errors import Problem, WrongUse
from jointmap.pages.shown_values import facts_of
from jointmap.pages.worksheet.numbers import (
    groups,
    kit_note,
    numbers,
    passes,
    plan,
    stops,
    turns,
)
from jointmap.pages.worksheet.places import Place
from jointmap.register import Device
from jointmap.register.codes import DeviceKind, Layout
from jointmap.reports.line_codes import line_code
from jointmap.reports.views import Frame
from jointmap.reports.views_worksheet import Worksheet
from jointmap.reports.worksheet import worksheet_clock
from jointmap.tables.tightening import SCHEMES
from jointmap.wording import say
from jointmap.wording.worksheet import BLANKS, STEPS

_FITTED = (
    "serial", "nominal_size", "pressure_class", "facing", "layout", "stud_size",
    "stud_count", "stud_grade", "gasket_material", "gasket_thickness_metre",
    "gasket_core", "sleeve_material", "sleeve_thickness_metre", "washer_material",
    "washer_thickness_metre", "steel_washer_thickness_metre", "lubricant_allowed",
    "torque_target_newton_metre",
    "rated_pressure_pascal", "rated_temperature_degc", "lining_a_metre",
    "lining_b_metre", "batch",
)  # fmt: skip
_NOTHING = ("", str(Layout.UNKNOWN))
# Layout -> the side with isolating washers, and the other.
_ONE_SIDE = {Layout.ONE_SIDE_A: ("A", "B"), Layout.ONE_SIDE_B: ("B", "A")}


def worksheet_view(place: Place, frame: Frame, scheme: str) -> Worksheet:
    """Return the sheet of one joint.

    Raises ``WrongUse`` for a scheme that is not in our tables.
    """
    if not passes_of(scheme):
        known = ", ".join(SCHEMES)
        raise WrongUse(Problem("worksheet.scheme", {"scheme": scheme, "known": known}))
    device = place.device
    made = Worksheet(
        frame=frame,
        tag=place.joint.tag,
        aliases=", ".join(place.aliases),
        kind=str(device.kind),
        sides=say("worksheet.sides", {"a": place.structure_a, "b": place.structure_b}),
        boundary=f"{place.boundary.name}, {place.boundary.purpose}",
        code=line_code(place.joint.tag),
        fitted=tuple(f for f in facts_of(device, _FITTED) if f.value not in _NOTHING),
        cautions=place.cautions,
        steps=tuple(_steps(device)),
        blanks=BLANKS[str(device.kind)],
        whole=tuple(_whole(device)),
    )
    is_kit = device.kind is DeviceKind.FLANGE_KIT
    return _with_kit(made, device, scheme) if is_kit else made


def _steps(device: Device) -> Iterator[str]:
    facts = {
        "lubricant": device.lubricant_allowed or say("page.not_on_record"),
        "shell": limit("shell temperature at a weld"),
        "standing": _standing(device),
    }
    for number in range(1, len(STEPS[str(device.kind)]) + 1):
        yield say(f"worksheet.step.{device.kind}.{number}", facts)


def _standing(device: Device) -> str:
    if device.layout is Layout.TWO_SIDE:
        thicknesses = limit("sleeve projection in washer thicknesses")
        return say("worksheet.standing_two", {"thicknesses": thicknesses})
    if device.layout not in _ONE_SIDE:
        return say("worksheet.standing_unknown")
    side, other = _ONE_SIDE[device.layout]
    return say("worksheet.standing_one", {"side": side, "other": other})


def _whole(device: Device) -> Iterator[str]:
    if device.kind is DeviceKind.FLANGE_KIT:
        yield say("worksheet.flange_to_flange")
        yield say("worksheet.gasket_to_a")
        yield say("worksheet.gasket_to_b")
    else:
        yield say("worksheet.side_to_side")


def _with_kit(made: Worksheet, device: Device, scheme: str) -> Worksheet:
    planned, order = plan(device), turns(device.stud_count or 0)
    note = ""
    if device.layout in _ONE_SIDE:
        side, other = _ONE_SIDE[device.layout]
        note = say("worksheet.one_side", {"side": side, "other": other})
    return replace(
        made,
        numbers=tuple(numbers(planned)),
        cautions=(*stops(device), *made.cautions),
        kit_note=kit_note(planned),
        scheme=scheme,
        scheme_source=passes_of(scheme)[0].citation,
        passes=tuple(passes(planned, scheme)),
        clock=worksheet_clock(order),
        turns=order,
        groups=groups(order),
        stud_note=note,
    )
