"""What a drawing is made of: boxes, lines and labels, each in its place, in units of a tablet's dots."""

from dataclasses import dataclass, field
from enum import StrEnum

Point = tuple[float, float]


class Look(StrEnum):
    """What a placed thing is, which says how it looks."""

    HOLE = "hole"
    DERRICK = "derrick"
    WORK_TABLE = "work table"
    HOLE_COVER = "hole cover"
    ROTARY_TABLE = "rotary table"
    WELLHEAD = "wellhead"
    PUMP_PART = "pump-leg part"
    JOINT = "tubing joint"
    SUB = "sub"
    RUN = "run of joints"
    BLOCK = "Y-block"
    SWIVEL = "swivel, held"
    OPEN_SWIVEL = "swivel, free"
    HANGER = "tubing hanger"
    LANDING_JOINT = "landing joint"
    COUPLING = "coupling"
    CLAMP = "bypass clamp"
    SUPPORT_CLAMP = "support clamp"
    BEARING_CLAMP = "support clamp that bears a leg"
    PROTECTOR = "cable protector"
    ELEVATORS = "elevators"
    SLIPS = "slips"
    DOG_COLLAR = "dog collar"
    SAFETY_CLAMP = "safety clamp"
    LIFTING_CLAMP = "lifting clamp"
    SLINGS = "slings"
    BAILS = "bails"
    NUBBIN = "lift nubbin"
    PIN_PROTECTOR = "pin protector"
    OPEN_CONNECTION = "stabbed, not made up"
    MARK = "mark"
    CABLE = "cable"
    FREE_CABLE = "cable to its spool"
    LINE = "discharge line"
    FREE_LINE = "discharge line to its spool"
    POTHEAD = "pothead"
    SPLICE = "splice"
    ORIENTATION_LINE = "orientation line"
    WORKING_HEIGHT = "working height"


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle; y runs down."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Return the x of its right side."""
        return self.x + self.width

    @property
    def bottom(self) -> float:
        """Return the y of its lower side."""
        return self.y + self.height

    @property
    def middle(self) -> Point:
        """Return its middle."""
        return self.x + self.width / 2, self.y + self.height / 2

    def touches(self, other: "Box", within: float = 0.0) -> bool:
        """Return whether two boxes meet or overlap, or come as near as that."""
        return (
            self.x <= other.right + within
            and other.x <= self.right + within
            and self.y <= other.bottom + within
            and other.y <= self.bottom + within
        )

    def overlaps(self, other: "Box") -> bool:
        """Return whether two boxes have an area in common."""
        return (
            self.x < other.right and other.x < self.right and self.y < other.bottom and other.y < self.bottom
        )

    def holds(self, other: "Box") -> bool:
        """Return whether another box lies whole in this one."""
        return (
            self.x <= other.x
            and self.y <= other.y
            and other.right <= self.right
            and other.bottom <= self.bottom
        )


@dataclass(frozen=True, slots=True)
class Shape:
    """A box of the drawing: what it is, and the tags of the parts that it shows or is on."""

    look: Look
    box: Box
    tags: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the drawing; `rank` tells cables apart, lowest system first."""

    look: Look
    points: tuple[Point, ...]
    tags: tuple[str, ...] = ()
    rank: int = 0


class Side(StrEnum):
    """The side of the string on which a label stands."""

    LEFT = "left"
    RIGHT = "right"


@dataclass(frozen=True, slots=True)
class Wanted:
    """A label asked for: beside which point, the name in bold, and what is said after it."""

    side: Side
    at: Point
    name: str
    more: str = ""


@dataclass(frozen=True, slots=True)
class Label:
    """A label in its place: its lines, of which the first begins with the name, and its leader's points."""

    side: Side
    name: str
    lines: tuple[str, ...]
    box: Box
    leader: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True)
class KeyEntry:
    """One line of the legend: a look, its words, and where both stand."""

    look: Look
    words: tuple[str, ...]
    sample: Box
    box: Box


@dataclass(frozen=True, slots=True)
class TextLine:
    """One line of text with the box that it fills; it begins at the box's left, or ends at its right."""

    text: str
    box: Box
    size: float
    strong: bool = False
    at_end: bool = False


@dataclass(slots=True)
class Sketch:
    """Guards what has been placed so far, and the labels asked for on the way."""

    shapes: list[Shape] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)
    wanted: list[Wanted] = field(default_factory=list)

    def box(self, look: Look, box: Box, *tags: str) -> Box:
        """Place a shape and return its box."""
        self.shapes.append(Shape(look, box, tags))
        return box

    def label(self, side: Side, at: Point, name: str, more: str = "") -> None:
        """Ask for a label beside a point."""
        self.wanted.append(Wanted(side, at, name, more))


@dataclass(frozen=True, slots=True)
class Drawing:
    """The whole picture: its size, its words, and everything in it in the order in which it is painted.

    Without heading and key it reaches from `under_heading` to `over_key`.
    """

    width: float
    height: float
    under_heading: float
    over_key: float
    title: str
    description: str
    texts: tuple[TextLine, ...]
    shapes: tuple[Shape, ...]
    lines: tuple[Line, ...]
    labels: tuple[Label, ...]
    key: tuple[KeyEntry, ...]
