"""The sheet: numbered steps in stages, each with what it asks for and its source in the plan."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import StrEnum

from app.domain.cautions import Caution
from app.domain.connections import ToolKind
from app.domain.crew import HoldPoint, StageKind
from app.domain.events.who import Who
from app.domain.operations import Operation
from app.domain.quantities import Duration, Length, Mass, Pressure, Quantity, Resistance, Temperature, Torque


class Lane(StrEnum):
    """Deck work may be done ahead of the floor; floor work keeps its order."""

    DECK = "deck"
    FLOOR = "floor"


class ReadingKind(StrEnum):
    """What a reading measures."""

    TORQUE = "torque"
    SERIAL = "serial"
    LENGTH = "length"
    RESISTANCE = "phase resistance"
    INSULATION = "insulation resistance"
    PRESSURE = "pressure"
    HOLD_TIME = "hold time"
    TEMPERATURE = "temperature"
    HOOK_LOAD = "hook load"
    MAX_OD = "outside diameter"
    WEIGHT = "weight in air"
    DROP = "drop"
    SWIVEL_LENGTH = "closed length of a swivel"
    MARK = "distance of a mark"


# What a value is of: a tag, and what was measured of it.
Measurand = tuple[str, ReadingKind]
# What readings of an electrical test are called where they are looked for by name.
INSULATION, AFTER_TEN, TEMPERATURE = "insulation to ground", "insulation after 10 min", "temperature"
QUANTITY_OF: dict[ReadingKind, type[Quantity]] = {
    ReadingKind.TORQUE: Torque,
    ReadingKind.LENGTH: Length,
    ReadingKind.RESISTANCE: Resistance,
    ReadingKind.INSULATION: Resistance,
    ReadingKind.PRESSURE: Pressure,
    ReadingKind.HOLD_TIME: Duration,
    ReadingKind.TEMPERATURE: Temperature,
    ReadingKind.HOOK_LOAD: Mass,
    ReadingKind.MAX_OD: Length,
    ReadingKind.WEIGHT: Mass,
    ReadingKind.DROP: Length,
    ReadingKind.SWIVEL_LENGTH: Length,
    ReadingKind.MARK: Length,
}
# Common practice where it is to hand; a step is not held up for it.
OPTIONAL = frozenset({ReadingKind.HOOK_LOAD})


@dataclass(frozen=True, slots=True)
class ReadingWanted:
    """A value that a step asks for; `item` is the part tag, clamp type or cable that it is of.

    `unit` is what the form offers first. A reading without limits is recorded, not judged.
    """

    name: str
    kind: ReadingKind
    item: str
    unit: str = ""
    target: Quantity | None = None
    low: Quantity | None = None
    high: Quantity | None = None
    tool: ToolKind | None = None

    @property
    def is_optional(self) -> bool:
        """Return whether the step may be closed without it."""
        return self.kind in OPTIONAL


@dataclass(frozen=True, slots=True)
class GearMove:
    """So many pieces of temporary gear put on the string or over the hole (+) or taken off (-)."""

    item: str
    count: int


@dataclass(frozen=True, slots=True)
class Joined:
    """The connection that a step makes: what, to what, by which type."""

    lower: str
    upper: str
    connection: str


@dataclass(frozen=True, slots=True)
class Dressed:
    """The station that a step dresses and the type of clamp that it wants."""

    station: str
    clamp_type: str


@dataclass(frozen=True, slots=True)
class Step:
    """One action of the run; `needs` are the deck steps that must be done before it."""

    number: int
    key: str
    stage: str
    lane: Lane
    operation: Operation
    system: str
    parts: tuple[str, ...]
    text: str
    cautions: tuple[Caution, ...]
    readings: tuple[ReadingWanted, ...]
    role: str
    source: str
    needs: tuple[int, ...] = ()
    gear: tuple[GearMove, ...] = ()
    joined: Joined | None = None
    dressed: Dressed | None = None

    @property
    def happens_once(self) -> bool:
        """Return whether it joins, dresses, moves gear, or reads a serial that only one step can have."""
        reads_serial = any(reading.kind is ReadingKind.SERIAL for reading in self.readings)
        return bool(self.joined or self.dressed or self.gear) or reads_serial


@dataclass(frozen=True, slots=True)
class Stage:
    """A run of steps under one title, behind a hold point where the plan has one."""

    id: str
    kind: StageKind
    system: str
    title: str
    hold_point: HoldPoint | None
    first: int
    last: int


class ChangeKind(StrEnum):
    """What was done to a step of the compiled sheet before the release."""

    LEFT_OUT = "left out"
    MOVED = "moved"
    REWORDED = "reworded"
    ADDED = "added"
    REPEATED = "repeated"


@dataclass(frozen=True, slots=True)
class SheetChange:
    """A change to the compiled sheet: its number, what was done to which step, by whom, when and why.

    `step` is the number in this sheet, 0 where the step is not in it.
    """

    number: int
    kind: ChangeKind
    key: str
    step: int
    what: str
    by: Who
    at: str
    why: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """All stages and steps of a run, in order, and how they differ from what was compiled."""

    stages: tuple[Stage, ...]
    steps: tuple[Step, ...]
    changes: tuple[SheetChange, ...] = ()
    by_stage: dict[str, Stage] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "by_stage", {stage.id: stage for stage in self.stages})

    def step(self, number: int) -> Step | None:
        """Return the step of that number, or none."""
        return self.steps[number - 1] if 1 <= number <= len(self.steps) else None

    def stage(self, stage_id: str) -> Stage:
        """Return the stage of that id.

        Raises: KeyError where the sheet has none.
        """
        return self.by_stage[stage_id]

    def steps_of(self, stage_id: str) -> tuple[Step, ...]:
        """Return the steps of one stage, in order."""
        stage = self.by_stage[stage_id]
        return self.steps[stage.first - 1 : stage.last]

    def lane(self, lane: Lane) -> Iterator[Step]:
        """Yield the steps of one lane, in order."""
        return (step for step in self.steps if step.lane is lane)
