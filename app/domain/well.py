"""The well and the rig over it, as far as the string is concerned."""

from dataclasses import dataclass

from app.domain.quantities import Angle, Density, Length, LinearMass, Mass, Ratio, Temperature


@dataclass(frozen=True, slots=True)
class Casing:
    """One casing section passed by the string; depths are along the hole."""

    name: str
    top: Length
    base: Length
    od: Length
    weight: LinearMass
    id: Length
    drift: Length


@dataclass(frozen=True, slots=True)
class SurveyPoint:
    """A survey station along the hole."""

    depth: Length
    inclination: Angle
    azimuth: Angle


@dataclass(frozen=True, slots=True)
class Well:
    """The hole that the string goes into."""

    name: str
    field: str
    setting_depth: Length
    fluid: str
    fluid_density: Density
    fluid_level: Length
    surface_temperature: Temperature
    setting_temperature: Temperature
    casing: tuple[Casing, ...]
    survey: tuple[SurveyPoint, ...] = ()


@dataclass(frozen=True, slots=True)
class Rig:
    """The rig floor: heights are measured up from the top of the work table.

    `working_height` is where hands work, `reach` the highest that the elevators can hold a leg.
    """

    name: str
    working_height: Length
    reach: Length
    travelling_weight: Mass


@dataclass(frozen=True, slots=True)
class WeightIndicator:
    """How often the weight indicator is read while tubing is run, and how far off it may be.

    `every` counts joints; nothing reads it never. `allowed_off` is a share of what should hang. `friction`
    is that of the string on the wall of the hole, a share of what presses it there.
    """

    every: int
    allowed_off: Ratio | None = None
    friction: Ratio | None = None
