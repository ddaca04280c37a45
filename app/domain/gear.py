"""Lifting gear, clamps and the load-out list: what comes to the site with a serial."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from app.domain.parts import LegEnd, PartMeasure
from app.domain.quantities import Angle, Length, Mass, as_typed


class GearKind(StrEnum):
    """What a piece of lifting or handling gear is."""

    ELEVATORS = "elevators"
    SLIPS = "slips"
    DOG_COLLAR = "dog collar"
    LIFT_NUBBIN = "lift nubbin"
    LIFTING_CLAMP = "lifting clamp"
    SLINGS = "slings"
    SAFETY_CLAMP = "safety clamp"
    WORK_TABLE = "work table"
    HOLE_COVER = "hole cover"


# Temporary gear that comes with the pipe and is not on the list of lifting gear.
PIN_PROTECTOR = "pin protector"
SAME_SIZE = Length(0.0005)  # half a millimetre: gear and pipe are named from the same lists of sizes
SIZED = frozenset({GearKind.ELEVATORS, GearKind.SLIPS, GearKind.DOG_COLLAR, GearKind.LIFT_NUBBIN})


@dataclass(frozen=True, slots=True)
class LiftingGear:
    """One kind of gear on site, its rating and how many there are.

    `size` is the outer diameter that it grips; gear that grips by size has one. `connection` is
    the type of its bolts where they are torqued, as on a safety clamp. Slings have `legs`, the `angle`
    from the horizontal that they are used at, and the `rated_angle` that their WLL is for.
    """

    tag: str
    kind: GearKind
    wll: Mass
    due: date
    size: Length | None = None
    serial: str = ""
    count: int = 1
    connection: str = ""
    legs: int | None = None
    angle: Angle | None = None
    rated_angle: Angle | None = None


def grips(gear: LiftingGear, size: Length) -> bool:
    """Return whether gear grips a size [m]; gear without a size grips any."""
    return gear.size is None or abs(gear.size.si - size.si) <= SAME_SIZE.si


class SeatFor(StrEnum):
    """What lies in a seat of a clamp."""

    CABLE = "cable"
    LINE = "line"


@dataclass(frozen=True, slots=True)
class Seat:
    """A place in a clamp: how far from its middle, turned how far from the side of the bypass leg."""

    holds: SeatFor
    angle: Angle
    distance: Length


@dataclass(frozen=True, slots=True)
class ClampType:
    """A kind of bypass or support clamp: its body, its bolts, and what it has room for.

    `wll` is the rating of a support clamp; a bypass clamp carries nothing and has none. `height` is
    the band that it grips along the legs, `centre_distance` what it holds their centres apart; without
    one it closes until they touch. Cables without a seat lie between the legs. `also_measured` names what
    is measured of one of them, closed, when they are counted.
    """

    name: str
    description: str
    max_od: Length
    weight: Mass
    connection: str
    recess: bool = True
    grips: int = 1
    wll: Mass | None = None
    height: Length | None = None
    centre_distance: Length | None = None
    seats: tuple[Seat, ...] = ()
    also_measured: tuple[PartMeasure, ...] = ()


@dataclass(frozen=True, slots=True)
class Clamp:
    """A clamp that the plan wants at a station: one end of a part or joint, or so far below its top."""

    at: str
    type: str
    end: LegEnd | None = None
    below_top: Length | None = None

    @property
    def station(self) -> str:
        """Return the name of its station, which no other clamp of the plan has."""
        if self.below_top is None:
            return f"{self.at} {self.end}"
        return f"{self.at} {as_typed(self.below_top, 'm')} below top"

    @property
    def place(self) -> str:
        """Return in words where it sits."""
        if self.below_top is None:
            return f"at the {self.end} of {self.at}"
        return f"{as_typed(self.below_top, 'm')} below the top of {self.at}"


@dataclass(frozen=True, slots=True)
class Issued:
    """So many pieces of a thing without serials that came to the site, such as cable protectors."""

    item: str
    count: int


@dataclass(frozen=True, slots=True)
class LoadOutItem:
    """A thing with a serial that came to the site: a clamp of a type or a spare part."""

    serial: str
    item: str
