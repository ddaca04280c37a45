"""What every built plan has in common: sizes of parts, connections, clamps, tools, gear and people.

All of it is invented, except where a published size or common practice is named.
"""

from dataclasses import dataclass
from datetime import date

from app.domain.connections import ConnectionType, MakeUp, Tool, ToolKind
from app.domain.crew import COMPANY_REPRESENTATIVE, PUMP_TECHNICIAN, SUPERVISOR
from app.domain.gear import ClampType, GearKind, LiftingGear
from app.domain.parts import PartKind
from app.domain.quantities import (
    Length,
    LinearMass,
    Pressure,
    Resistance,
    Torque,
    length,
    mass,
    read_quantity,
)

TODAY = date(2030, 6, 1)
IN_DATE = date(2031, 1, 1)
OUT_OF_DATE = date(2030, 5, 31)
SIGNERS = (SUPERVISOR, PUMP_TECHNICIAN, COMPANY_REPRESENTATIVE)

PARTS_FT: dict[PartKind, float] = {
    PartKind.GAUGE: 2.0,
    PartKind.MOTOR: 30.5,
    PartKind.SEAL: 7.8,
    PartKind.INTAKE: 1.4,
    PartKind.PUMP: 18.6,
    PartKind.DISCHARGE_SUB: 1.2,
    PartKind.ENTRY_GUIDE: 1.5,
    PartKind.CROSSOVER: 1.0,
    PartKind.SAFETY_SUB: 2.0,
    PartKind.HANDLING_SUB: 3.0,
    PartKind.HANGER: 1.5,
}
PARTS_IN: dict[PartKind, float] = {
    PartKind.GAUGE: 4.56,
    PartKind.MOTOR: 5.40,
    PartKind.SEAL: 5.13,
    PartKind.INTAKE: 5.13,
    PartKind.PUMP: 5.38,
    PartKind.DISCHARGE_SUB: 5.13,
    PartKind.ENTRY_GUIDE: 3.5,
    PartKind.CROSSOVER: 4.5,
    PartKind.SAFETY_SUB: 2.875,
    PartKind.HANDLING_SUB: 3.668,
    PartKind.HANGER: 10.75,
}
PARTS_LB: dict[PartKind, float] = {
    PartKind.GAUGE: 60,
    PartKind.MOTOR: 1650,
    PartKind.SEAL: 330,
    PartKind.INTAKE: 85,
    PartKind.PUMP: 860,
    PartKind.DISCHARGE_SUB: 70,
    PartKind.ENTRY_GUIDE: 20,
    PartKind.CROSSOVER: 15,
    PartKind.SAFETY_SUB: 20,
    PartKind.HANDLING_SUB: 35,
    PartKind.HANGER: 400,
}


@dataclass(frozen=True, slots=True)
class Size:
    """A size of external-upset tubing, as published: inside, drift, coupling, weight per length."""

    id_in: float
    drift_in: float
    coupling_in: float
    weight: LinearMass


SIZES: dict[float, Size] = {
    2.375: Size(1.995, 1.901, 3.063, read_quantity("4.7 lb/ft", LinearMass)),
    2.875: Size(2.441, 2.347, 3.668, read_quantity("6.4 lb/ft", LinearMass)),
    3.5: Size(2.992, 2.867, 4.5, read_quantity("9.3 lb/ft", LinearMass)),
    4.5: Size(3.958, 3.833, 5.563, read_quantity("12.75 lb/ft", LinearMass)),
}
CLAMP_IN = 8.0


def _torque(text: str) -> Torque:
    return read_quantity(text, Torque)


# Flush joints at 500 and safety clamps at 200 ft*lbf are common practice.
CONNECTIONS = (
    ConnectionType(
        "flush",
        MakeUp.WRENCH,
        _torque("500 ft*lbf"),
        _torque("450 ft*lbf"),
        _torque("550 ft*lbf"),
        "thread dope",
    ),
    ConnectionType(
        "upset",
        MakeUp.TONG,
        _torque("2280 ft*lbf"),
        _torque("1710 ft*lbf"),
        _torque("2850 ft*lbf"),
        "thread dope",
    ),
    ConnectionType(
        "flange", MakeUp.BOLTS, _torque("75 ft*lbf"), _torque("70 ft*lbf"), _torque("80 ft*lbf"), bolts=8
    ),
    ConnectionType(
        "safety bolts",
        MakeUp.BOLTS,
        _torque("200 ft*lbf"),
        _torque("190 ft*lbf"),
        _torque("210 ft*lbf"),
        bolts=4,
    ),
)

CLAMP_TYPES = (
    ClampType(
        "bypass clamp",
        "ties the legs",
        length(8.3, "in"),
        mass(28, "lb"),
        "flange",
        grips=3,
        height=length(CLAMP_IN, "in"),
    ),
    ClampType(
        "support clamp",
        "carries a pump leg",
        length(8.3, "in"),
        mass(60, "lb"),
        "flange",
        grips=3,
        wll=mass(20000, "lb"),
        height=length(CLAMP_IN, "in"),
    ),
    ClampType("protector", "over a coupling", length(6, "in"), mass(8, "lb"), "flange", grips=3),
    ClampType("mid-joint clamp", "mid-joint", length(6, "in"), mass(6, "lb"), "flange", grips=3),
)

TOOLS = (
    Tool(
        "WRENCH",
        ToolKind.PIPE_WRENCH,
        "T-1",
        IN_DATE,
        torque_low=_torque("100 ft*lbf"),
        torque_high=_torque("800 ft*lbf"),
    ),
    Tool(
        "TONG",
        ToolKind.TONG,
        "T-2",
        IN_DATE,
        torque_low=_torque("500 ft*lbf"),
        torque_high=_torque("6000 ft*lbf"),
    ),
    Tool(
        "CLICKER",
        ToolKind.TORQUE_WRENCH,
        "T-3",
        IN_DATE,
        torque_low=_torque("40 ft*lbf"),
        torque_high=_torque("250 ft*lbf"),
    ),
    Tool(
        "INSULATION",
        ToolKind.INSULATION_TESTER,
        "T-4",
        IN_DATE,
        resistance_high=read_quantity("10 Gohm", Resistance),
    ),
    Tool(
        "BRIDGE",
        ToolKind.RESISTANCE_BRIDGE,
        "T-5",
        IN_DATE,
        resistance_high=read_quantity("20 ohm", Resistance),
    ),
    Tool(
        "PRESSURE",
        ToolKind.PRESSURE_GAUGE,
        "T-6",
        IN_DATE,
        pressure_high=read_quantity("10000 psi", Pressure),
    ),
    Tool("TAPE", ToolKind.TAPE, "T-7", IN_DATE, length_high=length(100, "ft")),
)


def _gear(
    tag: str, kind: GearKind, *, size: Length | None = None, count: int = 1, bolts: str = ""
) -> LiftingGear:
    return LiftingGear(tag, kind, mass(200, "t"), IN_DATE, size, f"G-{tag}", count, bolts)


SIZED = (GearKind.ELEVATORS, GearKind.SLIPS, GearKind.DOG_COLLAR, GearKind.LIFT_NUBBIN)
GEAR = (
    *(
        _gear(
            f"{kind.split()[-1].upper()}-{int(od_in * 100)}",
            kind,
            size=length(od_in, "in"),
            count=4 if kind is GearKind.LIFT_NUBBIN else 1,
        )
        for kind in SIZED
        for od_in in SIZES
    ),
    _gear("LIFTING-CLAMP", GearKind.LIFTING_CLAMP, count=2),
    _gear("SLINGS", GearKind.SLINGS, count=2),
    _gear("SAFETY", GearKind.SAFETY_CLAMP, bolts="safety bolts"),
    _gear("TABLE", GearKind.WORK_TABLE),
    _gear("COVER", GearKind.HOLE_COVER),
)
