"""Conductors: what a size of copper is worth, hot and cold."""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from app.domain.quantities import Length, Resistance, Temperature

# Annealed copper of 100 % IACS at 20 °C: 1/58 ohm mm2/m, and what each kelvin adds.
RESISTIVITY_OHM_MM2_PER_M = 1.0 / 58.0
PER_KELVIN_RATIO = 0.00393
TWENTY_DEGC = Temperature(293.15, "20 degC")
# The strands of a cable run in turns and so are longer than it. Common practice.
LAY_RATIO = 1.02
AWG = re.compile(r"#?\s*(\d{1,2})(?:\s*AWG)?", re.IGNORECASE)
METRIC = re.compile(r"(\d+(?:\.\d+)?)\s*mm(?:2|²)", re.IGNORECASE)
IN_MM = 25.4


@dataclass(frozen=True, slots=True)
class Conductor:
    """One cable's conductor: whose it is, of which size as written, and how long."""

    cable: str
    size: str
    length: Length


def area_mm2(size: str) -> float | None:
    """Return the section of a conductor as written, "4 AWG" or "25 mm2" [mm^2], or none if it is no size."""
    metric, gauge = METRIC.fullmatch(size.strip()), AWG.fullmatch(size.strip())
    if metric is not None:
        return float(metric[1]) or None
    return math.pi / 4.0 * (IN_MM * diameter_in(int(gauge[1]))) ** 2 if gauge is not None else None


def diameter_in(gauge: int) -> float:
    """Return the diameter of a solid wire by its American gauge [in].

    d = 0.005 · 92^((36 - n) / 39). Source: ASTM B258. Range: 0 to 36.
    """
    return float(0.005 * 92.0 ** ((36 - gauge) / 39.0))


def copper_resistance(area: float, length: Length, temperature: Temperature) -> Resistance:
    """Return the resistance of a solid copper wire of an area in mm2 [ohm].

    R = rho L / A (1 + 0.00393 (T - 20 °C)). Source: the International Annealed Copper Standard.
    Range: area over zero; about -50 to 200 °C.
    """
    warmth = 1.0 + PER_KELVIN_RATIO * (temperature.si - TWENTY_DEGC.si)
    return Resistance(RESISTIVITY_OHM_MM2_PER_M * length.si / area * warmth)


def there_and_back(conductors: Sequence[Conductor], temperature: Temperature) -> Resistance | None:
    """Return the resistance of two phases of cables one after the other [ohm].

    None where one of them has no size that can be read. Twice the sum of what each stranded conductor is
    worth. Source: as of copper_resistance, with 2 % for the lay. Range: as there.
    """
    total = 0.0
    for conductor in conductors:
        area = area_mm2(conductor.size)
        if area is None:
            return None
        total += copper_resistance(area, conductor.length, temperature).si
    return Resistance(2.0 * LAY_RATIO * total) if conductors else None
