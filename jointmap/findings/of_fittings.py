"""Findings in the fitting records of what is fitted now."""

from collections.abc import Iterator

from jointmap.findings.finder import Finder, Seen, finds
from jointmap.findings.finding import About, Found
from jointmap.findings.kind import Gravity, Kind
from jointmap.findings.of_held import TORQUE_DOUBT
from jointmap.register.told import Told
from jointmap.snapshot.fittings import fittings_in

WRONG_LUBRICANT = Kind("wrong_lubricant", Gravity.ACT_SOON, "fitting")
INSTALLATION_GAP = Kind("installation_gap", Gravity.LOOK, "fitting")
_KIND_OF_CHECK = {"lubricant": WRONG_LUBRICANT, "torque": TORQUE_DOUBT}


@finds(WRONG_LUBRICANT, TORQUE_DOUBT, INSTALLATION_GAP)
def fittings(seen: Seen) -> Iterator[Found]:
    """Yield what does not meet in the fitting records of what is fitted now."""
    found = fittings_in(seen.site.state, seen.site.assessed.on)
    for device, record, check in found.faults():
        kind = _KIND_OF_CHECK.get(check.name, INSTALLATION_GAP)
        about = About.joint(device.joint_id)
        told, on = Told(check.because, check.values), record.installed_on
        yield Found(kind=kind, about=about, told=told, on=on)
    for device, record, other, check in found.same_day():
        about = About.joint(device.joint_id)
        facts = {
            "lubricant": record.lubricant or "blank",
            "used": check.values["lubricant"],
            "tag": seen.site.joints[other.joint_id].tag,
            "day": record.installed_on,
        }
        told, on = Told("fitting.same_day", facts), record.installed_on
        yield Found(kind=WRONG_LUBRICANT, about=about, told=told, on=on)


FITTING_FINDERS: tuple[Finder, ...] = (fittings,)
