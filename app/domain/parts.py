"""Parts of the string: what each is, how long, how heavy, and what it needs."""

from dataclasses import dataclass
from enum import StrEnum

from app.domain.quantities import NO_LENGTH, Length, LinearMass, Mass


class PartKind(StrEnum):
    """What a part of a pump leg or of the tubing is."""

    GAUGE = "gauge"
    MOTOR = "motor"
    SEAL = "seal"
    INTAKE = "intake"
    PUMP = "pump"
    DISCHARGE_SUB = "discharge sub"
    ENTRY_GUIDE = "entry guide"
    CROSSOVER = "crossover"
    SAFETY_SUB = "safety sub"
    HANDLING_SUB = "handling sub"
    HANGER = "tubing hanger"


class LegEnd(StrEnum):
    """The end of a part at which a clamp sits."""

    BASE = "base"
    HEAD = "head"


PUMP_LEG_ORDER: tuple[PartKind, ...] = (
    PartKind.GAUGE,
    PartKind.MOTOR,
    PartKind.SEAL,
    PartKind.INTAKE,
    PartKind.PUMP,
    PartKind.DISCHARGE_SUB,
)
WITH_SHAFT = frozenset({PartKind.MOTOR, PartKind.SEAL, PartKind.INTAKE, PartKind.PUMP})
OIL_FILLED = frozenset({PartKind.MOTOR, PartKind.SEAL})


class PartMeasure(StrEnum):
    """What of a part may be measured on deck besides its length."""

    MAX_OD = "max OD"
    WEIGHT = "weight"


class BlockMeasure(StrEnum):
    """What of a Y-block may be measured on deck besides its length."""

    MAX_OD = "max OD"
    WEIGHT = "weight"
    SWIVEL_LENGTH = "swivel length"
    DROP = "drop"


@dataclass(frozen=True, slots=True)
class Part:
    """One part with its own serial.

    `connection` names the type that joins its base to the part below. `lifting_clamp` is the tag
    of the clamp it is lifted and landed by; a part without one is bolted on by hand where it is.
    A part `made_up_on_deck` is bolted to the next one above before the two are lifted together.
    `also_measured` names what is measured of it on deck besides its length.
    """

    tag: str
    kind: PartKind
    description: str
    length: Length
    max_od: Length
    weight: Mass
    connection: str = ""
    serial: str = ""
    lifting_clamp: str = ""
    made_up_on_deck: bool = False
    also_measured: tuple[PartMeasure, ...] = ()


@dataclass(frozen=True, slots=True)
class Joint:
    """One length of tubing, measured face to face; pup joints are short ones."""

    tag: str
    length: Length
    serial: str = ""
    pup: bool = False


@dataclass(frozen=True, slots=True)
class Tubing:
    """A run of like joints, bottom to top, made up pin down and box up.

    Cables climb along a run above a system: a `protector` holds them at every connection and, where the
    plan wants one, a clamp of the type `mid_joint_clamp` in the middle of every joint.
    """

    name: str
    od: Length
    id: Length
    weight: LinearMass
    connection: str
    joints: tuple[Joint, ...]
    drift: Length | None = None
    coupling_od: Length | None = None
    make_up_loss: Length = NO_LENGTH
    protector: str = ""
    mid_joint_clamp: str = ""

    @property
    def is_flush(self) -> bool:
        """Return whether the joints have no coupling for elevators to latch under."""
        return self.coupling_od is None


@dataclass(frozen=True, slots=True)
class YBlock:
    """The block that joins two legs, with its telescopic swivel on the bypass side.

    `drop` runs from the block's top to the face that meets the discharge sub; `swivel_length` from
    the same top to the swivel's pin with the sleeve closed. `margin` is kept free at both ends of
    the stroke. `swivel_od` is asked for where the swivel stands beside the pump leg. `also_measured` names
    what is measured of it on deck besides its length.
    """

    tag: str
    description: str
    length: Length
    drop: Length
    swivel_length: Length
    stroke: Length
    margin: Length
    max_od: Length
    weight: Mass
    head_connection: str
    swivel_connection: str
    top_connection: str
    serial: str = ""
    swivel_od: Length | None = None
    also_measured: tuple[BlockMeasure, ...] = ()

    def sizes(self) -> dict[BlockMeasure, Length | Mass]:
        """Return as planned what may be measured of the block besides its length."""
        return {
            BlockMeasure.MAX_OD: self.max_od,
            BlockMeasure.WEIGHT: self.weight,
            BlockMeasure.SWIVEL_LENGTH: self.swivel_length,
            BlockMeasure.DROP: self.drop,
        }

    @property
    def is_all_drop(self) -> bool:
        """Return whether the tape that measures the block's length measures its drop as well."""
        return self.drop.si == self.length.si
