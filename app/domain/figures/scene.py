"""What the figures of a step are worked out from: its readings, its plan, and what was read before."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from app.domain.connections import ConnectionType, Tool
from app.domain.events.steps import Taken
from app.domain.figures.conductors import Conductor, by_warmth
from app.domain.figures.electrical import mean_of
from app.domain.figures.read import Read
from app.domain.figures.reads import Reads
from app.domain.figures.warmth import Warmth
from app.domain.operations import Operation
from app.domain.plan import MainCable, MotorLead, Plan, System
from app.domain.quantities import NO_LENGTH, Length, Resistance, Temperature
from app.domain.results import Result
from app.domain.run import Run
from app.domain.sheet import TEMPERATURE, ReadingKind, Step

ELECTRICAL = frozenset({Operation.TEST_ON_DECK, Operation.TEST_MOTOR, Operation.TEST_CABLES})


@dataclass(frozen=True, slots=True)
class Scene:
    """A step of a run with readings and the day on which they were taken; without them there is none.

    `weighed` holds by step what came of weights read, where the whole run was walked for them at once, and
    `deep` how deep the cable of each electrical test hangs.
    """

    run: Run
    step: Step
    taken: tuple[Taken, ...]
    day: date | None = None
    weighed: Mapping[int, Result] = field(default_factory=dict)
    deep: Mapping[int, Length] = field(default_factory=dict)

    @property
    def plan(self) -> Plan:
        """Return the plan of the run."""
        return self.run.plan

    @property
    def reads(self) -> Reads:
        """Return what was read at the step."""
        return Reads(self.step, self.taken)

    def warmth(self, read: Read) -> Warmth:
        """Return how warm the tested cable is, by a temperature where its test is made."""
        return Warmth(read, self.plan.well, self.deep.get(self.step.number, NO_LENGTH))


def tool_of(plan: Plan, tag: str) -> Tool | None:
    """Return the tool of that tag, or none."""
    return next((tool for tool in plan.tools if tool.tag == tag), None)


def connection_of(plan: Plan, step: Step) -> ConnectionType | None:
    """Return the type of the connection that a step torques, or none where it torques nothing."""
    if step.joined is not None:
        return plan.connection(step.joined.connection)
    if step.dressed is not None:
        return plan.connection(plan.clamp_type(step.dressed.clamp_type).connection)
    gear = (item.connection for item in plan.lifting_gear if item.tag in step.parts and item.connection)
    name = next(gear, "")
    return plan.connection(name) if name else None


def system_of(plan: Plan, cable: str) -> System | None:
    """Return the system that a motor lead or main cable belongs to, or none."""
    return next((system for system in plan.systems if cable in cables_of(system)), None)


def cables_of(system: System) -> tuple[str, str]:
    """Return the tags of a system's motor lead and main cable."""
    return system.motor_lead.tag, system.motor_lead.main_cable.tag


def conductors_of(plan: Plan, step: Step) -> tuple[Conductor, ...]:
    """Return the conductors that a test reads through, one after the other; none at a motor alone."""
    tag = step.parts[0] if step.parts else ""
    system = system_of(plan, tag)
    if system is None:
        return ()
    lead, main = system.motor_lead, system.motor_lead.main_cable
    cables: tuple[MotorLead | MainCable, ...] = (lead,) if tag == lead.tag else (main,)
    if step.operation is not Operation.TEST_ON_DECK and tag == main.tag:
        cables = (main, lead)  # spliced by now: a main cable is tested alone on deck only
    return tuple(conductor(item) for item in cables)


def conductor(cable: MotorLead | MainCable) -> Conductor:
    """Return the conductor of a cable."""
    return Conductor(cable.tag, cable.conductor, cable.length)


def motor_behind(run: Run, step: Step, warm: Temperature) -> Read | None:
    """Return what the motors of a tested cable would read so warm, phase to phase, one after the other [ohm].

    They were read on deck; a motor whose temperature was not read there counts as it was read.
    """
    system = system_of(run.plan, step.parts[0] if step.parts else "")
    tags = {part.tag for part in system.parts} if system is not None else set()
    found: list[Resistance] = []
    steps = []
    for number, done in run.done.items():
        other = run.sheet.steps[number - 1]
        if other.operation is Operation.TEST_MOTOR and other.parts[0] in tags:
            found.append(_motor_at(Scene(run, other, done.readings).reads, warm))
            steps.append(str(number))
    if not found:
        return None
    value = Resistance(sum(item.si for item in found))
    origin = f"mean read at step {' and '.join(steps)}, brought to the warmth of this test"
    return Read("motor, phase to phase", value, origin)


def _motor_at(reads: Reads, warm: Temperature) -> Resistance:
    mean = mean_of([Resistance(phase.value.si) for phase in reads.of(ReadingKind.RESISTANCE)])
    read = reads.named(TEMPERATURE)
    return mean if read is None else mean * (by_warmth(warm) / by_warmth(Temperature(read.value.si)))


def tests_of(run: Run, cable: str, deep: Mapping[int, Length]) -> tuple[Scene, ...]:
    """Return the finished electrical tests of a cable, in the order of the sheet, each as deep as it hung."""
    return tuple(
        Scene(run, step, run.done[step.number].readings, deep=deep)
        for step in run.sheet.steps
        if step.operation in ELECTRICAL and step.parts[:1] == (cable,) and run.is_done(step.number)
    )
