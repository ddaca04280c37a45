"""How far a leg lengthens in the well: by being warmed, and by what hangs on it."""

import math

from app.domain.quantities import (
    Expansion,
    Force,
    Length,
    Mass,
    Pressure,
    Temperature,
    force,
    quantity,
)
from app.domain.room.way_down import way_down
from app.domain.well import Well

# The oilfield's figure for steel; tables of carbon steel have 6.1 to 6.5e-6 per degF at such temperatures.
STEEL_EXPANSION = quantity("6.9e-6", "per degF", Expansion)
STEEL_MODULUS = quantity("30e6", "psi", Pressure)  # the handbooks' figure; tables have 29 to 30
STANDARD_GRAVITY = force(9.80665, "N")  # the pull of one kilogram


def by_warming(run: Length, expansion: Expansion, cold: Temperature, hot: Temperature) -> Length:
    """Return how far a leg lengthens from cold to hot [m].

    alpha L (T2 - T1). Source: handbooks of materials, linear expansion. Range: steel, up to some 250 degC.
    """
    return run * (expansion.si * (hot.si - cold.si))


def by_load(run: Length, pull: Force, od: Length, inside: Length, modulus: Pressure) -> Length:
    """Return how far a pipe lengthens under a pull on its end [m].

    F L / (A E). Source: Hooke's law, as in Lapeyrouse's free-point formulas. Range: below yield.
    """
    area_m2 = math.pi / 4 * (od.si**2 - inside.si**2)
    return run * (pull.si / (area_m2 * modulus.si))


def pull_of(weight: Mass) -> Force:
    """Return the force with which a weight pulls [N].

    m g. Source: standard gravity, 9.80665 m/s2. Range: anywhere on earth to a third of a percent.
    """
    return STANDARD_GRAVITY * weight.si


def temperature_at(well: Well, depth: Length) -> Temperature:
    """Return the temperature of the well at a depth along the hole [K].

    Source: a straight line from the surface to the setting depth, by how far straight down both are.
    Range: between the two.
    """
    way = way_down(well.survey)
    deepest = way.down(well.setting_depth).si
    share = min(max(way.down(depth).si / deepest, 0.0), 1.0) if deepest > 0 else 1.0
    surface, bottom = well.surface_temperature, well.setting_temperature
    return Temperature(surface.si + (bottom.si - surface.si) * share)
