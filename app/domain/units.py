"""The units that a person may type: a closed table, each worth what pint says it is worth."""

import math
import re
from dataclasses import dataclass

from app.domain.dimensions import (
    Angle,
    Count,
    Density,
    Duration,
    Expansion,
    Force,
    Length,
    LinearMass,
    Mass,
    Pressure,
    PressurePerDegree,
    Quantity,
    Ratio,
    Resistance,
    Temperature,
    Torque,
)


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit that a person may type, the dimension it measures, and its name in pint."""

    name: str
    kind: type[Quantity]
    pint_name: str


UNITS: tuple[Unit, ...] = (
    Unit("m", Length, "meter"),
    Unit("cm", Length, "centimeter"),
    Unit("mm", Length, "millimeter"),
    Unit("ft", Length, "foot"),
    Unit("in", Length, "inch"),
    Unit("kg", Mass, "kilogram"),
    Unit("t", Mass, "metric_ton"),
    Unit("lb", Mass, "pound"),
    Unit("klb", Mass, "kilopound"),
    Unit("short ton", Mass, "short_ton"),
    Unit("kg/m", LinearMass, "kilogram / meter"),
    Unit("lb/ft", LinearMass, "pound / foot"),
    Unit("N", Force, "newton"),
    Unit("kN", Force, "kilonewton"),
    Unit("daN", Force, "decanewton"),
    Unit("lbf", Force, "force_pound"),
    Unit("klbf", Force, "kiloforce_pound"),
    Unit("N*m", Torque, "newton * meter"),
    Unit("kN*m", Torque, "kilonewton * meter"),
    Unit("ft*lbf", Torque, "foot * force_pound"),
    Unit("in*lbf", Torque, "inch * force_pound"),
    Unit("Pa", Pressure, "pascal"),
    Unit("kPa", Pressure, "kilopascal"),
    Unit("MPa", Pressure, "megapascal"),
    Unit("bar", Pressure, "bar"),
    Unit("psi", Pressure, "force_pound / inch ** 2"),
    Unit("psi per degF", PressurePerDegree, "force_pound / inch ** 2 / delta_degF"),
    Unit("kPa per degC", PressurePerDegree, "kilopascal / delta_degC"),
    Unit("bar per degC", PressurePerDegree, "bar / delta_degC"),
    Unit("degC", Temperature, "degC"),
    Unit("degF", Temperature, "degF"),
    Unit("K", Temperature, "kelvin"),
    Unit("per degC", Expansion, "1 / delta_degC"),
    Unit("per degF", Expansion, "1 / delta_degF"),
    Unit("per K", Expansion, "1 / kelvin"),
    Unit("mohm", Resistance, "milliohm"),
    Unit("ohm", Resistance, "ohm"),
    Unit("kohm", Resistance, "kiloohm"),
    Unit("Mohm", Resistance, "megaohm"),
    Unit("Gohm", Resistance, "gigaohm"),
    Unit("kg/m3", Density, "kilogram / meter ** 3"),
    Unit("g/cm3", Density, "gram / centimeter ** 3"),
    Unit("lb/gal", Density, "pound / US_liquid_gallon"),
    Unit("deg", Angle, "degree"),
    Unit("s", Duration, "second"),
    Unit("min", Duration, "minute"),
    Unit("h", Duration, "hour"),
    Unit("day", Duration, "day"),
    Unit("%", Ratio, "percent"),
    Unit("times", Ratio, "dimensionless"),
    Unit("ea", Count, "dimensionless"),
)

# Exact by definition: NIST Special Publication 811, appendix B.8. Our own constants are written in these, and
# pint, which says the same, is not imported for them: that takes a quarter of a server's start.
EXACT_SI: dict[str, float] = {
    "cm": 0.01,
    "mm": 0.001,
    "ft": 0.3048,
    "in": 0.0254,
    "lbf": 4.4482216152605,
    "ft*lbf": 4.4482216152605 * 0.3048,
    "psi": 4.4482216152605 / 0.0254**2,
    "per degF": 1.8,
    "deg": math.pi / 180,
}

# What a keyboard or a data sheet writes for the same unit.
SPELLINGS: tuple[tuple[str, str], ...] = (("·", "*"), ("°", "deg"), ("Ω", "ohm"), ("Ω", "ohm"), ("³", "3"))

# How people write what plans spell with the letters of any keyboard; each can be typed so as well.
SIGNS: tuple[tuple[str, str], ...] = (("*", "·"), ("degC", "°C"), ("degF", "°F"), ("ohm", "Ω"), ("m3", "m³"))

BY_NAME: dict[str, Unit] = {unit.name: unit for unit in UNITS}
SI_NAMES: dict[type[Quantity], str] = {
    Length: "meter",
    Mass: "kilogram",
    LinearMass: "kilogram / meter",
    Force: "newton",
    Torque: "newton * meter",
    Pressure: "pascal",
    PressurePerDegree: "pascal / kelvin",
    Temperature: "kelvin",
    Expansion: "1 / kelvin",
    Resistance: "ohm",
    Density: "kilogram / meter ** 3",
    Angle: "radian",
    Duration: "second",
    Ratio: "dimensionless",
    Count: "dimensionless",
}


def sign_of(unit: str) -> str:
    """Return a unit as people write it, such as ft·lbf, °F or MΩ."""
    for spelling, sign in SIGNS:
        unit = unit.replace(spelling, sign)
    return unit


def written(text: str) -> str:
    """Return a text for people, with each unit in it as people write it."""
    return ANGLE.sub("°", SPELT.sub(lambda found: sign_of(found[0]), text))


SPELT = re.compile(
    rf"(?<![A-Za-z*])(?:{'|'.join(re.escape(unit.name) for unit in UNITS if sign_of(unit.name) != unit.name)}"
    r"|degC|degF)(?![A-Za-z*])"
)
ANGLE = re.compile(r"(?<=\d) deg\b(?! [CF])")
