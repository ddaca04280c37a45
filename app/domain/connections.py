"""How parts are joined, and with what: connection types and the tools that make them up."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from app.domain.quantities import Length, Pressure, Resistance, Torque


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
    """A kind of connection with its torque target and acceptance limits."""

    name: str
    method: MakeUp
    target: Torque
    low: Torque
    high: Torque
    dope: str = ""
    bolts: int = 0
    source: str = ""


@dataclass(frozen=True, slots=True)
class Tool:
    """A measuring or make-up tool; the range is in the units of what it measures."""

    tag: str
    kind: ToolKind
    serial: str
    due: date
    torque_low: Torque | None = None
    torque_high: Torque | None = None
    pressure_high: Pressure | None = None
    resistance_high: Resistance | None = None
    length_high: Length | None = None
