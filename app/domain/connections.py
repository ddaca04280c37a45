"""How parts are joined, and with what: connection types and the tools that make them up."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from app.domain.quantities import Angle, Force, Length, Pressure, Ratio, Resistance, Torque


class MakeUp(StrEnum):
    """The way a connection is made up."""

    WRENCH = "hand and wrench"
    TONG = "tong"
    BOLTS = "bolts"


class ToolKind(StrEnum):
    """What a tool measures or does."""

    PIPE_WRENCH = "pipe wrench"
    TONG = "tong"
    TORQUE_WRENCH = "torque wrench"
    INSULATION_TESTER = "insulation tester"
    RESISTANCE_BRIDGE = "resistance bridge"
    PRESSURE_GAUGE = "pressure gauge"
    TAPE = "tape"


TOOL_FOR: dict[MakeUp, ToolKind] = {
    MakeUp.WRENCH: ToolKind.PIPE_WRENCH,
    MakeUp.TONG: ToolKind.TONG,
    MakeUp.BOLTS: ToolKind.TORQUE_WRENCH,
}


@dataclass(frozen=True, slots=True)
class ConnectionType:
    """A kind of connection with its torque target and acceptance limits.

    `bolt_size` is the outer diameter of a bolt's thread, `bolt_load` the most that one may carry; without
    a `nut_factor` one is assumed.
    """

    name: str
    method: MakeUp
    target: Torque
    low: Torque
    high: Torque
    dope: str = ""
    bolts: int = 0
    source: str = ""
    bolt_size: Length | None = None
    nut_factor: Ratio | None = None
    bolt_load: Force | None = None

    @property
    def has_sized_bolts(self) -> bool:
        """Return whether what is written of the bolts, size and nut factor, is over zero."""
        return all(given is None or given.si > 0 for given in (self.bolt_size, self.nut_factor))


@dataclass(frozen=True, slots=True)
class Tool:
    """A measuring or make-up tool; the range is in the units of what it measures.

    `arm` runs from the grip, or from a tong's line, to the drive; `extension` from the drive to the bolt,
    at an angle of nothing where it carries the arm on.
    """

    tag: str
    kind: ToolKind
    serial: str
    due: date
    torque_low: Torque | None = None
    torque_high: Torque | None = None
    pressure_high: Pressure | None = None
    resistance_high: Resistance | None = None
    length_high: Length | None = None
    arm: Length | None = None
    extension: Length | None = None
    extension_angle: Angle | None = None
