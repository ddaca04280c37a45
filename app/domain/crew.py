"""The people of a job, what they meet about, and what is tested when."""

from dataclasses import dataclass
from enum import StrEnum

from app.domain.quantities import (
    Duration,
    Length,
    Pressure,
    PressurePerDegree,
    Ratio,
    Resistance,
    Temperature,
)

SUPERVISOR = "supervisor"
PUMP_TECHNICIAN = "pump technician"
DRILLER = "driller"
FLOOR_CREW = "floor crew"
COMPANY_REPRESENTATIVE = "company representative"
ROLES: tuple[str, ...] = (SUPERVISOR, PUMP_TECHNICIAN, DRILLER, FLOOR_CREW, COMPANY_REPRESENTATIVE)


class StageKind(StrEnum):
    """What a stage of the sheet is about; hold points name the stage they stand before."""

    DECK_WORK = "deck work"
    FIRST_LIFT = "first lift"
    PUMP_LEG = "pump leg"
    Y_CLOSURE = "Y closure"
    INTERMEDIATE = "intermediate tubing"
    SUPPORT = "support clamp"
    RUNNING = "running to depth"
    LANDING = "landing"
    PULLING = "pulling"


# Common practice: nobody goes past these without a talk and signatures.
ALWAYS_HELD: tuple[StageKind, ...] = (
    StageKind.FIRST_LIFT,
    StageKind.PUMP_LEG,
    StageKind.Y_CLOSURE,
    StageKind.RUNNING,
    StageKind.LANDING,
)


class TestMoment(StrEnum):
    """When the cables are tested."""

    __test__ = False  # not a test class, whatever its name says

    ON_DECK = "before pick-up"
    AFTER_POTHEAD = "after pothead"
    SYSTEM_COMPLETE = "system complete"
    ALONG_INTERMEDIATE = "along intermediate tubing"
    ALONG_PRODUCTION = "along production tubing"
    AFTER_SPLICE = "after splice"
    AFTER_PENETRATOR = "after penetrator"
    LANDED = "after landing"


ALONG = frozenset({TestMoment.ALONG_INTERMEDIATE, TestMoment.ALONG_PRODUCTION})


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody of the crew, by name and role."""

    name: str
    role: str


@dataclass(frozen=True, slots=True)
class HoldPoint:
    """A toolbox talk before each stage of a kind (of one system, if named) and who must sign."""

    before: StageKind
    title: str
    topics: tuple[str, ...]
    signed_by: tuple[str, ...]
    system: str = ""


@dataclass(frozen=True, slots=True)
class ElectricalTest:
    """When the cables are tested and what passes; along tubing, every so many joints.

    Where it says so, insulation is read after one minute and `again_after_ten`.
    """

    moment: TestMoment
    resistance_low: Resistance
    resistance_high: Resistance
    insulation_low: Resistance
    every: int = 0
    again_after_ten: bool = False


@dataclass(frozen=True, slots=True)
class LineTest:
    """How a discharge pressure line is proven.

    `pressure_per_degree` is what the full line's pressure gains by warming; where it is given, temperatures
    are read, and the fall is judged without what they account for.
    """

    pressure: Pressure
    hold: Duration
    allowed_fall: Ratio
    pressure_per_degree: PressurePerDegree | None = None

    @property
    def most(self) -> Pressure:
        """Return the pressure that a test stays under: a tenth more than wanted is another test [Pa]."""
        return Pressure(self.pressure.si * 1.1)

    @property
    def least_end(self) -> Pressure:
        """Return the pressure that must be left at the end, without any help by warmth [Pa]."""
        return self.pressure * (1.0 - self.allowed_fall.si)


class Critical(StrEnum):
    """A reading that the plan may want taken by two people, by what it is called on the step."""

    TORQUE = "torque"
    SWIVEL = "swivel extension"
    LENGTH = "length"
    MAX_OD = "max OD"
    WEIGHT = "weight"
    SWIVEL_LENGTH = "swivel length"
    DROP = "drop"
    MARK = "mark"
    RESISTANCE = "resistance"
    INSULATION = "insulation to ground"
    START_PRESSURE = "start pressure"
    END_PRESSURE = "end pressure"
    HOLD_TIME = "hold time"


@dataclass(frozen=True, slots=True)
class SecondReading:
    """A reading that a second person takes without seeing the first, and how far the two may be apart.

    `of` is the part, joint, cable, clamp type or connection type that it is read of; without one, all are.
    """

    reading: Critical
    within: Ratio
    of: str = ""


@dataclass(frozen=True, slots=True)
class Limits:
    """Acceptance limits that hold through the whole run; `clearance` is wanted across in each drift.

    `resistance_off_expected` is how far phases may be from what their conductors are worth;
    `insulation_reference` the temperature to which insulation is brought to be compared;
    `polarization_low` the least polarization index; after a hold of `long_hold` one step back is looked at.
    `second_readings` are taken by two people.
    """

    resistance_imbalance: Ratio
    deviations_accepted_by: tuple[str, ...] = (SUPERVISOR,)
    clearance: Length | None = None
    resistance_off_expected: Ratio | None = None
    insulation_reference: Temperature | None = None
    polarization_low: Ratio | None = None
    long_hold: Duration | None = None
    second_readings: tuple[SecondReading, ...] = ()
