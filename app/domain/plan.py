"""The run plan: everything that a person writes down before the run."""

from collections.abc import Iterator
from dataclasses import dataclass

from app.domain.closing_legs import Closing, Rack
from app.domain.connections import ConnectionType, Tool
from app.domain.crew import ElectricalTest, HoldPoint, Limits, LineTest, Person
from app.domain.gear import Clamp, ClampType, Issued, LiftingGear, LoadOutItem
from app.domain.parts import Joint, Part, PartKind, Tubing, YBlock
from app.domain.quantities import Length, LinearMass, Ratio
from app.domain.rates import Rates
from app.domain.well import Rig, WeightIndicator, Well

PLAN_FORMAT = "twinleg-plan-1"
PRODUCTION = "production tubing"
NOT_WEIGHED = LinearMass(0.0)


@dataclass(frozen=True, slots=True)
class Job:
    """What the job is called; an invented one says so everywhere."""

    title: str
    number: str
    operator: str
    invented: bool = False
    notice: str = ""


@dataclass(frozen=True, slots=True)
class Mark:
    """A place on a leg: so far down from the top of a joint."""

    joint: str
    below_top: Length


@dataclass(frozen=True, slots=True)
class SupportClamp:
    """The clamp on an upper bypass leg that the pump leg stands on; its mark is the system's datum."""

    type: str
    description: str = ""


@dataclass(frozen=True, slots=True)
class MainCable:
    """The cable to surface and the place of its splice: after so many joints of a tubing run.

    `width` and `thickness` are what it measures across; a round cable has both alike. `conductor` is the
    size of one conductor: "4 AWG", "2/0 AWG" or "25 mm2".
    """

    tag: str
    description: str
    length: Length
    splice_in: str
    splice_after: int
    serial: str = ""
    weight: LinearMass = NOT_WEIGHED
    width: Length | None = None
    thickness: Length | None = None
    conductor: str = ""


@dataclass(frozen=True, slots=True)
class MotorLead:
    """The flat cable from the motor's pothead up past the Y-block; `conductor` as of a main cable."""

    tag: str
    description: str
    length: Length
    main_cable: MainCable
    serial: str = ""
    weight: LinearMass = NOT_WEIGHED
    width: Length | None = None
    thickness: Length | None = None
    conductor: str = ""


@dataclass(frozen=True, slots=True)
class DischargeLine:
    """The small line from the discharge sub down to the gauge, and its test."""

    tag: str
    description: str
    test: LineTest
    od: Length | None = None


@dataclass(frozen=True, slots=True)
class System:
    """One pump system: a pump leg and a bypass leg under a Y-block.

    `datum` is the mark on the bypass leg where the base of the pump leg is fixed. A system that
    hangs others has the tubing between them, a crossover and a support clamp.
    """

    name: str
    bypass: Tubing
    datum: Mark
    parts: tuple[Part, ...]
    y_block: YBlock
    handling_sub: Part
    motor_lead: MotorLead
    clamps: tuple[Clamp, ...]
    line: DischargeLine | None = None
    entry_guide: Part | None = None
    safety_sub: Part | None = None
    tubing_below: Tubing | None = None
    crossover: Part | None = None
    support_clamp: SupportClamp | None = None
    closing: Closing | None = None

    def every_part(self) -> Iterator[Part]:
        """Yield the system's parts, pump leg first; joints and the Y-block are not among them."""
        yield from self.parts
        for part in (self.entry_guide, self.safety_sub, self.crossover):
            if part is not None:
                yield part
        yield self.handling_sub

    def every_joint(self) -> Iterator[Joint]:
        """Yield the system's joints bottom to top, tubing below it first."""
        if self.tubing_below is not None:
            yield from self.tubing_below.joints
        yield from self.bypass.joints

    def part(self, kind: PartKind) -> Part | None:
        """Return the first pump-leg part of a kind, or none."""
        return next((part for part in self.parts if part.kind is kind), None)


def tubing_below_name(system: System) -> str:
    """Return the name by which a splice finds the tubing below a system."""
    return f"tubing below {system.name}"


@dataclass(frozen=True, slots=True)
class Production:
    """The tubing from the topmost system to the hanger."""

    tubing: Tubing
    hanger: Part
    penetrator: str
    crossover: Part | None = None


@dataclass(frozen=True, slots=True)
class Plan:
    """A run plan; systems stand bottom to top, in the order they are run."""

    format: str
    job: Job
    rig: Rig
    well: Well
    connection_types: tuple[ConnectionType, ...]
    clamp_types: tuple[ClampType, ...]
    tools: tuple[Tool, ...]
    lifting_gear: tuple[LiftingGear, ...]
    crew: tuple[Person, ...]
    hold_points: tuple[HoldPoint, ...]
    electrical_tests: tuple[ElectricalTest, ...]
    limits: Limits
    systems: tuple[System, ...]
    production: Production
    load_out: tuple[LoadOutItem, ...]
    spares: tuple[Part, ...] = ()
    extra_roles: tuple[str, ...] = ()
    rack: tuple[Rack, ...] = ()
    issued: tuple[Issued, ...] = ()
    weight_indicator: WeightIndicator | None = None
    rates: Rates | None = None

    @property
    def friction(self) -> Ratio | None:
        """Return the friction on the wall of the hole, or none where the plan has no figure [1]."""
        return self.weight_indicator.friction if self.weight_indicator is not None else None

    def connection(self, name: str) -> ConnectionType:
        """Return the connection type of that name.

        Raises: KeyError where the plan has none; the checks find that before anything is compiled.
        """
        return {kind.name: kind for kind in self.connection_types}[name]

    def clamp_type(self, name: str) -> ClampType:
        """Return the clamp type of that name.

        Raises: KeyError where the plan has none; the checks find that before anything is compiled.
        """
        return {kind.name: kind for kind in self.clamp_types}[name]
