"""Within which bounds each number and each day of a record may lie, and why.

``least`` to ``most`` is what somebody can mean; what lies outside waits for a person
where its row can stand without it. Outside ``can_least`` to ``can_most`` nothing can
be, or no reader could hold it: such a row is refused. All in the unit of the field's
name. Bounds are tried where values enter, never where records are read back: a register
filled before a bound was set stays readable.
"""

import datetime as dt
import math
from dataclasses import dataclass

from jointmap.errors import Problem

PRACTICE = "common practice, no source"
OURS = "what the program can hold or draw"
KELVIN = (
    "common practice, no source; nothing is colder than -273.15 degC: SI Brochure, 9th"
    " edition 2019, 2.3.1, from memory"
)
GLOBE = "ISO 6709:2008, from memory: latitude ends at 90, longitude at 180"
WIDE_INT = 2**63 - 1
# Problems: a value that nobody can mean, and one that cannot be.
BEYOND = "cell.beyond"
IMPOSSIBLE = "cell.impossible"


@dataclass(frozen=True, slots=True)
class Bound:
    """What a number may be."""

    least: float
    most: float
    source: str
    can_least: float = -math.inf
    can_most: float = math.inf

    def holds(self, value: float) -> bool:
        """Return whether somebody can mean this value."""
        return self.least <= value <= self.most

    def is_possible(self, value: float) -> bool:
        """Return whether the value can be at all."""
        return self.can_least <= value <= self.can_most


@dataclass(frozen=True, slots=True)
class DayBound:
    """What a day may be: from ``first`` until so many years after the load."""

    first: dt.date
    years_ahead: int
    source: str

    def last(self, today: dt.date) -> dt.date:
        """Return the last day that is accepted on a day."""
        if not self.years_ahead:
            return today
        return dt.date(min(today.year + self.years_ahead, dt.MAXYEAR), 12, 31)


def _firm(least: float, most: float, source: str) -> Bound:
    """Nothing outside can be, or be held."""
    return Bound(least, most, source, least, most)


def _size(least: float, most: float, source: str = PRACTICE) -> Bound:
    """Not below nought, whatever it is; beyond ``least`` and ``most`` it waits."""
    return Bound(least, most, source, 0.0)


# Iron pipes were joined by flanges earlier, but none is in service without a record.
_RAILWAY_AGE = dt.date(1850, 1, 1)
_OF_RECORDS = "common practice, no source: no joint in service is older"
_DONE = DayBound(_RAILWAY_AGE, 0, _OF_RECORDS)
_AGREED = DayBound(dt.date(1900, 1, 1), 50, PRACTICE)
_DUTY = DayBound(_RAILWAY_AGE, 20, PRACTICE)
_IN_FORCE = DayBound(dt.date(1900, 1, 1), 20, PRACTICE)
_UNTIL = DayBound(dt.date(1900, 1, 1), 100, PRACTICE)
_PHOTOGRAPHED = DayBound(dt.date(1826, 1, 1), 100, PRACTICE)
_DEFERRED = DayBound(dt.date(1900, 1, 1), 30, PRACTICE)

_LATITUDE = _firm(-90.0, 90.0, GLOBE)
_LONGITUDE = _firm(-180.0, 180.0, GLOBE)
# The longest pipelines have 5,000 to 10,000 km; a post before the first is a slip.
_POST = Bound(0.0, 20_000.0, PRACTICE, -20_000.0, 1e6)
# Coldest service is liquid hydrogen at -253; a joint has no part that stands 1,000.
_SERVICE = Bound(-260.0, 1_000.0, KELVIN, -273.15)
_PRESSURE = _size(0.0, 1e9)
_TORQUE = _size(1.0, 100_000.0)
# To an electrode; stray current drives some volts, -940 V is a slip for -940 mV.
_POTENTIAL = Bound(-10.0, 10.0, PRACTICE)
_AC_VOLT = _size(0.0, 100_000.0)
_AMPERE = Bound(-10_000.0, 10_000.0, PRACTICE)
_THIN = _size(1e-5, 0.5)
_SMALL = _size(0.0, 0.5)
_LARGE = _size(0.0, 10.0)
_NUT_FACTOR = _firm(0.01, 0.99, PRACTICE)
_STUDS = _firm(1, 200, "ASME B16.47 and AWWA C207, from memory: at most 108 studs")
_OHM = _size(1e-9, 1e18)

BOUNDS: dict[str, dict[str, Bound | DayBound]] = {
    "site": {
        "reach_metre": _firm(0.0, 50_000.0, OURS),
        "ac_limit_volt": _firm(1.0, 1_000.0, PRACTICE),
        "margin_days": _firm(0, 366, PRACTICE),
        "near_limit_days": _firm(0, 366, PRACTICE),
        "min_latitude_deg": _LATITUDE,
        "max_latitude_deg": _LATITUDE,
        "min_longitude_deg": _LONGITUDE,
        "max_longitude_deg": _LONGITUDE,
        "road_factor_ratio": _firm(1.0, 10.0, "no road is shorter than the straight"),
        "speed_metre_per_second": _firm(1 / 3.6, 100.0, PRACTICE),
        "walk_second": _firm(0.0, 86_400.0, "a day has 86,400 s"),
        "setup_second": _firm(0.0, 86_400.0, "a day has 86,400 s"),
        "per_stud_second": _firm(0.0, 86_400.0, "a day has 86,400 s"),
    },
    "qualification": {
        "valid_from_on": _AGREED,
        "valid_until_on": _UNTIL,
    },
    "instrument": {
        "test_voltage_volt": _size(0.0, 100_000.0),
        "range_ohm": _OHM,
    },
    "certificate": {
        "valid_from_on": _AGREED,
        "valid_until_on": _UNTIL,
    },
    "chainage": {"measured_on": _DONE},
    "structure": {
        "length_metre": _size(0.0, 2e7),
        "area_square_metre": _size(0.0, 1e9),
        "design_current_ampere": _size(0.0, 10_000.0),
    },
    "source": {"usual_current_ampere": _size(0.0, 10_000.0)},
    "boundary": {
        "joined_from_on": _DUTY,
        "joined_until_on": _UNTIL,
    },
    "joint": {
        "in_duty_on": _DUTY,
        "out_of_duty_on": _DUTY,
        "post_kilometre": _POST,
        "conductivity_siemens_per_metre": _size(0.0, 1_000.0),
        "temperature_degc": _SERVICE,
        "pressure_pascal": _PRESSURE,
    },
    "alias": {"from_on": _DUTY, "until_on": _DUTY},
    "lead": {"proved_on": _DONE},
    "device": {
        "fitted_on": _DONE,
        "removed_on": _DONE,
        "pressure_class": _firm(1, 100_000, PRACTICE),
        "gasket_thickness_metre": _THIN,
        "gasket_outside_metre": _LARGE,
        "gasket_inside_metre": _LARGE,
        "gasket_limit_pascal": _PRESSURE,
        "sleeve_thickness_metre": _THIN,
        "washer_thickness_metre": _THIN,
        "steel_washer_thickness_metre": _SMALL,
        "stud_count": _STUDS,
        "lining_a_metre": _LARGE,
        "lining_b_metre": _LARGE,
        "rated_pressure_pascal": _PRESSURE,
        "rated_temperature_degc": _SERVICE,
        "nut_factor": _NUT_FACTOR,
        "torque_target_newton_metre": _TORQUE,
    },
    "installation": {
        "installed_on": _DONE,
        "face_flatness_metre": _SMALL,
        "face_defect_depth_metre": _SMALL,
        "face_defect_length_metre": _LARGE,
        "centreline_offset_metre": _SMALL,
        "parallelism_metre": _SMALL,
        "gap_at_rest_metre": _LARGE,
        "draw_up_newton_metre": _size(0.0, 100_000.0),
        "hole_offset_metre": _SMALL,
        "hole_diameter_metre": _SMALL,
        "flange_thickness_a_metre": _LARGE,
        "flange_thickness_b_metre": _LARGE,
        "steel_washer_thickness_metre": _SMALL,
        "stud_length_metre": _LARGE,
        # Below nought: the stud ends inside the nut.
        "threads_past_nut": _firm(-50.0, 200.0, PRACTICE),
        "sleeve_length_metre": _LARGE,
        # Below nought: the sleeve ends inside the flange.
        "sleeve_projection_metre": Bound(-0.5, 0.5, PRACTICE),
        "nut_factor": _NUT_FACTOR,
        "torque_target_newton_metre": _TORQUE,
        "pass_1_newton_metre": _TORQUE,
        "pass_2_newton_metre": _TORQUE,
        "pass_3_newton_metre": _TORQUE,
        "pass_4_newton_metre": _TORQUE,
        "dwell_second": _size(0.0, 30 * 86_400.0),
        "photos": _firm(0, 10_000, PRACTICE),
    },
    "path": {
        "fitted_on": _DONE,
        "removed_on": _DONE,
        "checked_on": _DONE,
        "blocking_volt": _AC_VOLT,
        "fault_current_ampere": _size(0.0, 1e6),
        "lead_length_metre": _size(0.0, 10_000.0),
    },
    "occurrence": {"happened_on": _DONE},
    "crew": {"persons": _firm(1, 100, PRACTICE)},
    "day_off": {"off_on": DayBound(dt.date(1990, 1, 1), 20, PRACTICE)},
    "road": {"speed_metre_per_second": _firm(1 / 3.6, 100.0, PRACTICE)},
    "position": {
        "subject_id": _firm(1, WIDE_INT, OURS),
        "latitude_deg": _LATITUDE,
        "longitude_deg": _LONGITUDE,
        "accuracy_metre": _size(0.0, 100_000.0),
        "captured_on": _DONE,
    },
    "altered": {"subject_id": _firm(1, WIDE_INT, OURS), "until_on": _DUTY},
    "test": {
        "stud": _firm(1, _STUDS.most, _STUDS.source),
        "tested_on": _DONE,
        "tested_at": _DONE,
        # Nought and below are refused by the record, which says what to write.
        "reading_ohm": Bound(-1e18, 1e18, PRACTICE),
        "reading_bound": _firm(-1, 1, OURS),
        "a_on_volt": _POTENTIAL,
        "a_off_volt": _POTENTIAL,
        "b_on_volt": _POTENTIAL,
        "b_off_volt": _POTENTIAL,
        "test_current_ampere": _AMPERE,
        "span_current_ampere": _AMPERE,
        "ac_a_volt": _AC_VOLT,
        "ac_b_volt": _AC_VOLT,
        "ac_between_volt": _AC_VOLT,
        "cycles": _firm(1, 10_000, PRACTICE),
        "cycle_spread_volt": _AC_VOLT,
    },
    "rule": {
        "from_on": _IN_FORCE,
        "until_on": _UNTIL,
        "binds_from_on": _IN_FORCE,
        # Nought is refused by the rule, which says what is of use.
        "years": _firm(0, 50, PRACTICE),
        "months": _firm(0, 600, PRACTICE),
        "days": _firm(0, 20_000, PRACTICE),
        "factor": _firm(0.0, 1e6, PRACTICE),
    },
    "limit": {
        "from_on": _IN_FORCE,
        "until_on": _UNTIL,
        "value": _firm(-1e12, 1e12, PRACTICE),
    },
    "model": {"from_on": _IN_FORCE},
    "decision": {"decided_on": _DONE, "until_on": _DEFERRED},
    "attachment": {"size_bytes": _firm(0, 2**40, OURS)},
    # A camera's clock may be off; photographs there are since then.
    "photo_place": {
        "latitude_deg": _LATITUDE,
        "longitude_deg": _LONGITUDE,
        "taken_on": _PHOTOGRAPHED,
        "taken_at": _PHOTOGRAPHED,
    },
    "held": {"sent_on": _DONE},
}  # fmt: skip

# The numbers of a tie point, by the heading of its column.
OF_A_TIE: dict[str, Bound] = {
    "post": _firm(-20_000.0, 20_000.0, PRACTICE),
    "latitude": _LATITUDE,
    "longitude": _LONGITUDE,
}


def bound_fault(value: float, bound: Bound, unit: str) -> Problem | None:
    """Return what is wrong with a number: hardly meant, impossible, or nothing."""
    if bound.holds(value):
        return None
    facts = {"least": bound.least, "most": bound.most, "unit": unit or "g"}
    id_ = BEYOND if bound.is_possible(value) else IMPOSSIBLE
    return Problem(id_, {**facts, "source": bound.source})


def day_fault(
    value: dt.date | dt.datetime, bound: DayBound, today: dt.date
) -> Problem | None:
    """Return what is wrong with a day, or with the day of an instant."""
    is_instant = isinstance(value, dt.datetime)
    day = value.date() if isinstance(value, dt.datetime) else value
    # An instant of today at the site may be one of tomorrow in UTC.
    last = bound.last(today) + dt.timedelta(days=is_instant)
    if bound.first <= day <= last:
        return None
    facts = {"first": bound.first, "last": last, "source": bound.source, "now": today}
    if day < bound.first or bound.years_ahead:
        return Problem("cell.day_beyond", facts)
    return Problem("row.instant_after_now" if is_instant else "row.after_now", facts)


def bound_of(kind: str, name: str) -> Bound | DayBound | None:
    """Return the bound of a field; None for one that is no number and no day."""
    return BOUNDS.get(kind, {}).get(name)
