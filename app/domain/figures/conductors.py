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
# "4 AWG", "#4", "2/0 AWG" and "00", which is the same.
AWG = re.compile(
    r"#?\s*(?:(?P<noughts>[1-4])/0|(?P<zeros>0{1,4})|(?P<number>[1-9]\d?))\s*(?:AWG)?", re.IGNORECASE
)
THINNEST_AWG = 40  # the published tables of the gauge end here; it begins with 4/0
SIZES = "'4 AWG', '2/0 AWG' or '25 mm2' (American gauges go from 4/0 to 40)"
METRIC = re.compile(r"(\d+(?:\.\d+)?)\s*mm(?:2|²)", re.IGNORECASE)
IN_MM = 25.4


@dataclass(frozen=True, slots=True)
class Conductor:
    """One cable's conductor: whose it is, of which size as written, and how long."""

    cable: str
    size: str
    length: Length


@dataclass(frozen=True, slots=True)
class WarmRun:
    """A run of a conductor, as long as its length says, that is all as warm; in the hole, or over it."""

    conductor: Conductor
    temperature: Temperature
    in_hole: bool = False


def area_mm2(size: str) -> float | None:
    """Return the section of a conductor as written [mm^2], or none if it is no size.

    Sizes are written like "4 AWG", "2/0 AWG" or "25 mm2".
    """
    metric, gauge = METRIC.fullmatch(size.strip()), awg_number(size)
    if metric is not None:
        return float(metric[1]) or None
    return math.pi / 4.0 * (IN_MM * diameter_in(gauge)) ** 2 if gauge is not None else None


def awg_number(size: str) -> int | None:
    """Return the number of an American gauge as written, 1/0 as 0 and 4/0 as -3, or none if it is none."""
    match = AWG.fullmatch(size.strip())
    if match is None:
        return None
    if match["number"] is not None:
        number = int(match["number"])
        return number if number <= THINNEST_AWG else None
    return 1 - (int(match["noughts"]) if match["noughts"] else len(match["zeros"]))


def diameter_in(gauge: int) -> float:
    """Return the diameter of a solid wire by the number of its American gauge, 4/0 being -3 [in].

    d = 0.005 · 92^((36 - n) / 39). Source: ASTM B258. Range: -3 to 40.
    """
    return float(0.005 * 92.0 ** ((36 - gauge) / 39.0))


def copper_resistance(area: float, length: Length, temperature: Temperature) -> Resistance:
    """Return the resistance of a solid copper wire of an area in mm2 [ohm].

    R = rho L / A (1 + 0.00393 (T - 20 °C)). Source: the International Annealed Copper Standard.
    Range: area over zero; about -50 to 200 °C.
    """
    return Resistance(RESISTIVITY_OHM_MM2_PER_M * length.si / area * by_warmth(temperature))


def by_warmth(temperature: Temperature) -> float:
    """Return the resistance of copper as so many times that at 20 °C [1].

    1 + 0.00393 (T - 20 °C). Source: the International Annealed Copper Standard. Range: about -50 to 200 °C.
    """
    return 1.0 + PER_KELVIN_RATIO * (temperature.si - TWENTY_DEGC.si)


def there_and_back(runs: Sequence[WarmRun]) -> Resistance | None:
    """Return the resistance of two phases of cables one after the other [ohm].

    None where one of them has no size that can be read. Twice the sum of what each stranded conductor is
    worth. Source: as of copper_resistance, with 2 % for the lay. Range: as there.
    """
    total = 0.0
    for run in runs:
        area = area_mm2(run.conductor.size)
        if area is None:
            return None
        total += copper_resistance(area, run.conductor.length, run.temperature).si
    return Resistance(2.0 * LAY_RATIO * total) if runs else None
