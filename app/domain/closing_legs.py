"""What a plan may say of how its legs close: joints on the rack, tolerance, expansion, temperatures."""

from dataclasses import dataclass

from app.domain.parts import Joint
from app.domain.quantities import Expansion, Length, Temperature


@dataclass(frozen=True, slots=True)
class Rack:
    """Joints that lie measured on the rack and are in no leg yet; `tubing` names the legs they fit."""

    tubing: str
    joints: tuple[Joint, ...]


@dataclass(frozen=True, slots=True)
class Closing:
    """What a system knows of its closure better than common practice and the well do.

    `length_tolerance` is how far each measured length may be off either way. The temperatures are
    those of the legs in the running well.
    """

    length_tolerance: Length | None = None
    pump_expansion: Expansion | None = None
    bypass_expansion: Expansion | None = None
    pump_temperature: Temperature | None = None
    bypass_temperature: Temperature | None = None
