"""How people write units, and which unit of the library each spelling means."""

# quantity -> the unit its numbers are held in, as the units library spells it
HELD_IN = {
    "length": "meter",
    "voltage": "volt",
    "current": "ampere",
    "resistance": "ohm",
    "torque": "newton * meter",
    "pressure": "pascal",
    "temperature": "degC",
    "conductivity": "siemens / meter",
    "area": "meter ** 2",
    "time": "second",
    "ratio": "dimensionless",
    "distance along a line": "kilometer",
    "speed": "meter / second",
    # Only in calculations at a desk; no record holds them.
    "mass per length": "kilogram / meter",
    "resistivity": "ohm * meter",
    "resistance per length": "ohm / meter",
    "current per voltage": "ampere / volt",
    "frequency": "hertz",
    "density": "kilogram / meter ** 3",
    "mass": "kilogram",
    "rate": "1 / second",
}

_LENGTHS = {
    "meter": "m metre meter metres meters",
    "millimeter": "mm millimetre millimeter",
    "centimeter": "cm",
    "kilometer": "km",
    "micrometer": "um micron",
    "inch": "in inch inches \" in. ''",
    "foot": "ft foot feet ' ft.",
    "thou": "thou thousandth thousandths",
    "mile": "mi mile miles",
}

# quantity -> unit of the units library -> the spellings accepted, the first is shown
SPELLINGS: dict[str, dict[str, str]] = {
    "length": _LENGTHS,
    "voltage": {
        "millivolt": "mV mVdc mVDC mV_DC mV_dc mVac mV_AC mv millivolt millivolts",
        "volt": "V Vdc VDC V_DC V_dc Vac VAC V_AC V_ac Vrms V_rms v volt volts",
        "microvolt": "uV",
        "kilovolt": "kV",
    },
    "current": {
        "milliampere": "mA mAdc ma milliampere",
        "ampere": "A Adc ADC A_DC amp amps ampere amperes",
        "microampere": "uA",
        "kiloampere": "kA",
    },
    "resistance": {
        "ohm": "ohm ohms Ohm Ohms OHM Ω",
        "kiloohm": "kohm kOhm kohms Kohm kΩ KΩ kilohm kiloohm k_ohm k_Ω",
        "megaohm": "Mohm MOhm Mohms MΩ megohm Megohm megaohm megohms M_ohm M_Ω",
        "gigaohm": "Gohm GOhm GΩ gigaohm G_ohm G_Ω",
        "teraohm": "Tohm TOhm TΩ",
        "milliohm": "milliohm milliohms mΩ m_Ω",
        "microohm": "microohm microohms uohm uOhm uΩ",
    },
    "torque": {
        "newton * meter": (
            "N·m Nm N_m N.m N*m N-m newton_metre newton_metres newton_meter "
            "newton_meters newton-metre newton-metres newton-meter newton-meters"
        ),
        "kilonewton * meter": "kN·m kNm kN_m kN.m kN*m kN-m",
        "decanewton * meter": "daN·m daNm daN_m daN.m daN-m",
        "foot * force_pound": (
            "ft·lbf lbf·ft ft-lb ft-lbs lb-ft lb·ft ft·lb ft_lb ft_lbs ft_lbf lbf_ft "
            "lb_ft ft.lb ft.lbs ftlb ftlbs ft-lbf lbf-ft ft*lbf lbf*ft lbf.ft ft.lbf "
            "ft·lbs lbs·ft lbs-ft lbs_ft lb.ft lbs.ft lbft lbfft ftlbf "
            "foot-pound foot-pounds foot_pound foot_pounds pound-feet pound_feet "
            "pound-foot pound_foot lb-feet lb_feet"
        ),
        "inch * force_pound": (
            "in·lbf lbf·in in-lb in-lbs lb-in in_lb in_lbs in_lbf in-lbf lbf-in lbf_in "
            "in·lb in·lbs lb·in lbs-in lbs_in lb_in in.lb in.lbs in.lbf inlb inlbs "
            "inch-pound inch-pounds inch_pound inch_pounds"
        ),
        "kilogram_force * meter": "kgf·m kgf_m kgfm kgf-m kgf.m kg·m kg-m kg_m kgm",
    },
    "pressure": {
        "bar": "bar barg bar(g) bar_g",
        "psi": (
            "psi psig psi(g) psi_g lbf/in2 lbf/in² lb/in2 lb/in² lbs/in2 lbs/in² "
            "lbf/sq_in lb/sq_in"
        ),
        "kilopsi": "ksi kpsi kip/in2 kip/in²",
        "megapascal": "MPa MPag N/mm2 N/mm² N/mm^2",
        "kilopascal": "kPa kPag",
        "gigapascal": "GPa",
        "pascal": "Pa N/m2 N/m²",
        "millibar": "mbar mbarg",
        "kilogram_force / centimeter ** 2": "kgf/cm2 kgf/cm² kg/cm2 kg/cm²",
    },
    "temperature": {
        "degC": "°C degC deg_C C ℃ celsius",
        "degF": "°F degF deg_F F ℉ fahrenheit",
        "kelvin": "K kelvin",
    },
    "conductivity": {
        "microsiemens / centimeter": "uS/cm",
        "millisiemens / centimeter": "mS/cm",
        "siemens / meter": "S/m",
        "millisiemens / meter": "mS/m",
        "siemens / centimeter": "S/cm",
    },
    "area": {
        "meter ** 2": "m2 m² m^2 sq_m sqm",
        "centimeter ** 2": "cm2 cm² cm^2",
        "millimeter ** 2": "mm2 mm² mm^2",
        "hectare": "ha",
        "foot ** 2": "ft2 ft² ft^2 sq_ft sqft",
    },
    "time": {
        "second": "s sec second seconds",
        "minute": "min minute minutes",
        "hour": "h hr hrs hour hours",
        "day": "d day days",
        "year": "y yr year years",
        "millisecond": "ms",
    },
    "ratio": {"percent": "% percent pct per_cent", "dimensionless": ""},
    "distance along a line": _LENGTHS,
    "speed": {
        "meter / second": "m/s",
        "kilometer / hour": "km/h kph kmh km/hr",
        "mile / hour": "mph mi/h",
        "foot / second": "ft/s fps",
        "millimeter / year": "mm/y mm/yr mm/a",
    },
    "mass per length": {
        "kilogram / meter": "kg/m",
        "pound / foot": "lb/ft lbs/ft",
    },
    "resistivity": {
        "ohm * meter": "ohm·m ohm_m ohm*m Ω·m Ω_m",
        "ohm * centimeter": "ohm·cm ohm_cm ohm*cm Ω·cm Ω_cm",
        "microohm * centimeter": "uohm·cm uohm_cm uohm*cm uΩ·cm uΩ_cm",
    },
    "resistance per length": {
        "microohm / meter": "uohm/m uΩ/m",
        "microohm / foot": "uohm/ft uΩ/ft",
        "ohm / meter": "ohm/m Ω/m",
        "ohm / kilometer": "ohm/km Ω/km",
    },
    "current per voltage": {"ampere / millivolt": "A/mV", "ampere / volt": "A/V"},
    "frequency": {"hertz": "Hz", "kilohertz": "kHz", "megahertz": "MHz"},
    "density": {
        "kilogram / meter ** 3": "kg/m3 kg/m³",
        "pound / foot ** 3": "lb/ft3 lb/ft³",
    },
    "mass": {"kilogram": "kg", "gram": "g", "pound": "lb lbs"},
    "rate": {"1 / year": "/y per_year", "1 / day": "/d per_day"},
}

# (unit of the library, quantity) -> shift, times, over: exact by definition. Tables of
# the package are written in these, and no command loads the library to read them.
EXACT: dict[tuple[str, str], tuple[float, float, float]] = {
    ("millimeter", "length"): (0.0, 1.0, 1000.0),
    ("inch", "length"): (0.0, 127.0, 5000.0),
    ("dimensionless", "ratio"): (0.0, 1.0, 1.0),
    ("percent", "ratio"): (0.0, 1.0, 100.0),
    ("hour", "time"): (0.0, 3600.0, 1.0),
    ("degC", "temperature"): (0.0, 1.0, 1.0),
    ("foot * force_pound", "torque"): (0.0, 0.3048 * 4.4482216152605, 1.0),
}

# Units that no change of case turns into another: "PSI" and "Ft-Lbs" are read. Symbols
# with a prefix, such as mV and MV, are not among them.
ANY_CASE = (
    "bar", "psi", "kilopsi", "inch", "foot", "millimeter", "newton * meter",
    "foot * force_pound", "inch * force_pound", "kilogram_force * meter", "degC",
)  # fmt: skip

# spelling -> what it may stand for; a factor of a thousand million lies between
AMBIGUOUS = {
    **dict.fromkeys(("mohm", "MOHM", "mOhm", "mohms", "mOHM"), "milliohm or Mohm"),
    **dict.fromkeys(("MV", "Mv"), "mV or kV"),
    **dict.fromkeys(("MA", "Ma"), "mA or A"),
    **dict.fromkeys(("mil", "mils"), "thou (0.0254 mm) or mm"),
    "M": "m or Mohm",
}
# Signs that look alike or mean the same, by code point: micro and mu, ohm and omega,
# dots, primes and quotes, minus and dashes, bounds, spaces of every width.
SAME_SIGN = str.maketrans(
    {
        "\u00b5": "u",
        "\u03bc": "u",
        "\u2126": "\u03a9",
        **dict.fromkeys("\u22c5\u2219\u2022", "\u00b7"),
        "\u00ba": "\u00b0",
        **dict.fromkeys("\u201c\u201d\u2033", '"'),
        **dict.fromkeys("\u2018\u2019\u2032", "'"),
        **dict.fromkeys("\u2212\u2013\u2010\u2011", "-"),
        "\u2265": ">",
        "\u2264": "<",
        **dict.fromkeys("\t\u00a0\u2002\u2003\u2007\u2009\u200a\u202f", " "),
    }
)
