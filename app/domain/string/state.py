"""The string at one moment of the run: what is joined, what hangs from what, what is still open."""

from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass, field

from app.domain.gear import GearKind
from app.domain.operations import Operation
from app.domain.plan import Plan
from app.domain.string.bodies import Bodies
from app.domain.string.known import Known, know, mark_on
from app.domain.string.supports import Hanging, Support, SupportKind


@dataclass(slots=True)
class Temporary:
    """What is on the string or over the hole and must come off again: tags of what it is on."""

    nubbins: set[str] = field(default_factory=set)
    pin_protectors: set[str] = field(default_factory=set)
    lifting_clamps: dict[str, str] = field(default_factory=dict)
    slings: dict[str, str] = field(default_factory=dict)
    open_swivels: set[str] = field(default_factory=set)
    collar: str = ""
    safety_clamp: str = ""
    table: bool = False
    cover: bool = False
    landing_joint: bool = False

    def is_empty(self) -> bool:
        """Return whether all of it is off."""
        return not any(
            (
                self.nubbins,
                self.pin_protectors,
                self.lifting_clamps,
                self.slings,
                self.open_swivels,
                self.collar,
                self.safety_clamp,
                self.table,
                self.cover,
                self.landing_joint,
            )
        )

    def on_parts(self) -> Iterator[str]:
        """Yield the part that each piece is on, of what would go below the table with it."""
        yield from (*self.nubbins, *self.pin_protectors, *self.lifting_clamps, *self.slings)
        yield from self.open_swivels
        if self.safety_clamp:
            yield self.safety_clamp


@dataclass(slots=True)
class Cables:
    """How far each cable is: connected to what is below, proven, through the hanger."""

    connected: set[str] = field(default_factory=set)
    on_motor: set[str] = field(default_factory=set)
    spliced: set[str] = field(default_factory=set)
    untested: set[str] = field(default_factory=set)
    through: set[str] = field(default_factory=set)


@dataclass(slots=True)
class Lines:
    """How far each discharge line is: at its gauge, at its Y-block, proven under pressure."""

    at_gauge: set[str] = field(default_factory=set)
    at_block: set[str] = field(default_factory=set)
    proven: set[str] = field(default_factory=set)


@dataclass(slots=True)
class Dressing:
    """What the stations and couplings wear, and which stations must be dressed before the next lowering."""

    stations: dict[str, str] = field(default_factory=dict)
    couplings: set[str] = field(default_factory=set)
    middles: set[str] = field(default_factory=set)
    due: set[str] = field(default_factory=set)
    due_on_joints: set[str] = field(default_factory=set)


@dataclass(slots=True)
class Heights:
    """Where things stand: the top of each body over the table [m], and what is at working height.

    `at_hands` names, by body, what was brought to where hands work: the top of a part, or a mark.
    """

    top_m: dict[int, float] = field(default_factory=dict)
    at_hands: dict[int, str] = field(default_factory=dict)


@dataclass(slots=True)
class StringState:
    """Guards the string while a sheet is walked: each step changes it in place, nothing else does."""

    known: Known
    bodies: Bodies
    elevators: str = ""
    elevators_gear: str = ""
    slips: str = ""
    slips_gear: str = ""
    safety_clamp_gear: str = ""
    rigged: tuple[str, ...] = ()
    landed: str = ""
    counted: bool = False
    hung: dict[int, str] = field(default_factory=dict)
    on_table: set[str] = field(default_factory=set)
    support_clamps: dict[str, str] = field(default_factory=dict)
    standing: dict[str, str] = field(default_factory=dict)
    temporary: Temporary = field(default_factory=Temporary)
    lock_rings: set[str] = field(default_factory=set)
    doped_boxes: set[str] = field(default_factory=set)
    doped_pins: set[str] = field(default_factory=set)
    stabbed: dict[str, str] = field(default_factory=dict)
    lined_up: set[str] = field(default_factory=set)
    line_on: set[str] = field(default_factory=set)
    dressing: Dressing = field(default_factory=Dressing)
    cables: Cables = field(default_factory=Cables)
    lines: Lines = field(default_factory=Lines)
    heights: Heights = field(default_factory=Heights)
    gear_checked: set[str] = field(default_factory=set)
    deck_done: set[tuple[Operation, str]] = field(default_factory=set)

    @property
    def plan(self) -> Plan:
        """Return the plan that the string is built to."""
        return self.known.plan

    def copy(self) -> "StringState":
        """Return the same moment as a state of its own; the plan's facts are shared."""
        return deepcopy(self, {id(self.known): self.known})

    def join(self, lower: str, upper: str) -> None:
        """Make one body of two; what hung of either hangs as one."""
        low, up = self.bodies.of(lower), self.bodies.of(upper)
        name = self.hung.pop(low, "")
        other = self.hung.pop(up, "")
        self.bodies.join(lower, upper)
        if name or other:
            self.hung[self.bodies.of(lower)] = name or other

    def part(self, lower: str, upper: str) -> None:
        """Make two bodies of one; if it hung, both hang now."""
        name = self.hung.pop(self.bodies.of(lower), "")
        self.bodies.part(lower, upper)
        if name:
            self.hung[self.bodies.of(upper)] = upper
            self.hung[self.bodies.of(lower)] = lower
            self.hung[self.bodies.of(name)] = name

    def pick_up(self, tag: str) -> None:
        """Let a body hang from now on."""
        self.hung.setdefault(self.bodies.of(tag), tag)

    def lay_down(self, tag: str) -> None:
        """Let a body hang no longer: it lies on the deck."""
        self.hung.pop(self.bodies.of(tag), None)

    def is_hung(self, tag: str) -> bool:
        """Return whether the body of a part hangs or stands in or over the hole."""
        return self.bodies.of(tag) in self.hung

    def come_due(self, tags: tuple[str, ...]) -> None:
        """Make the stations of parts due; one on a bypass joint waits for the pump leg beside it."""
        for tag in tags:
            on_joint = tag in self.known.sizes
            waiting = self.dressing.due_on_joints if on_joint else self.dressing.due
            stations = self.known.stations.get(tag, ())
            waiting.update(name for name in stations if name not in self.dressing.stations)

    def elevators_hold(self, tag: str) -> bool:
        """Return whether the elevators are on the body of a part."""
        return self.bodies.same(self.elevators, tag)

    def is_held_without_elevators(self, tag: str) -> bool:
        """Return whether slips, a clamp, slings or a landed hanger hold the body of a part."""
        return any(
            support.is_primary and support.kind is not SupportKind.ELEVATORS
            for support in self.supports(self.bodies.of(tag))
        )

    def is_held_without_clamp_on(self, tag: str) -> bool:
        """Return whether anything primary that is not on this very part holds its body."""
        return any(support.is_primary and support.on != tag for support in self.supports(self.bodies.of(tag)))

    def is_at_hands(self, tag: str) -> bool:
        """Return whether a part is where hands work: its top, the sub on it, or the mark on it."""
        brought = self.heights.at_hands.get(self.bodies.of(tag), "")
        return brought in (tag, self.known.sub_on.get(tag, tag), mark_on(tag))

    def hangings(self) -> tuple[Hanging, ...]:
        """Return every body that hangs or stands now, with what holds it."""
        stands, held_by = self._stands(), self._held_by()
        return tuple(
            Hanging(
                self.known.legs.get(tag, tag),
                tag,
                held_by.get(body, ()),
                self.bodies.weight_kg(body) + self._standing_on_kg(body, stands),
            )
            for body, tag in self.hung.items()
        )

    def supports(self, body: int) -> tuple[Support, ...]:
        """Return what holds a body now, the dog collar included."""
        return tuple(support for support, held in self._in_use() if held == body)

    def rigged_gear(self, kind: GearKind, tag: str) -> str:
        """Return the gear of a kind that is rigged, else the plan's first that grips a part, else none."""
        known = self.known
        rigged = (known.gear[item] for item in self.rigged if item in known.gear)
        fitting = (item for item in self.plan.lifting_gear if known.fits(item, tag))
        return next((item.tag for item in (*rigged, *fitting) if item.kind is kind), "")

    def _gear_on(self, kind: GearKind, tag: str, worn_by: set[str]) -> str:
        return self.rigged_gear(kind, tag) if tag and tag in worn_by else ""

    def _held_by(self) -> dict[int, tuple[Support, ...]]:
        held: dict[int, tuple[Support, ...]] = {}
        for support, body in self._in_use():
            held[body] = (*held.get(body, ()), support)
        return held

    def _standing_on_kg(self, body: int, stands: list[tuple[str, str]]) -> float:
        return sum(
            self.bodies.weight_kg(self.bodies.of(base)) for base, on in stands if self.bodies.of(on) == body
        )

    def _in_use(self) -> Iterator[tuple[Support, int]]:
        nubbin = self._gear_on(GearKind.LIFT_NUBBIN, self.elevators, self.temporary.nubbins)
        collar = self.temporary.collar
        for kind, tag, gear in (
            # What latches on a nubbin hangs by its thread too.
            (SupportKind.ELEVATORS, self.elevators, (self.elevators_gear, nubbin)),
            (SupportKind.SLIPS, self.slips, (self.slips_gear,)),
            (SupportKind.DOG_COLLAR, collar, (self._gear_on(GearKind.DOG_COLLAR, collar, {collar}),)),
            (
                SupportKind.SAFETY_CLAMP,
                self._at_table(self.temporary.safety_clamp),
                (self.safety_clamp_gear,),
            ),
            (SupportKind.HANGER, self.landed, ()),
        ):
            if tag:
                yield Support(kind, tag, tuple(filter(None, gear))), self.bodies.of(tag)
        clamps = self.temporary.lifting_clamps
        for tag, slings in self.temporary.slings.items():
            gear_seen = tuple(item for item in (slings, clamps.get(tag, "")) if item)
            yield Support(SupportKind.SLINGS, tag, gear_seen), self.bodies.of(tag)
        for tag in sorted(self.on_table) if self.temporary.table else ():
            gear_seen = tuple(item for item in (clamps.get(tag, ""),) if item)
            yield Support(SupportKind.LIFTING_CLAMP, tag, gear_seen), self.bodies.of(tag)
        for base, on in self._stands():
            yield Support(SupportKind.SUPPORT_CLAMP, on, (self.support_clamps[on],)), self.bodies.of(base)

    def _stands(self) -> list[tuple[str, str]]:
        # Once the Y-block joins both legs, neither stands on the other any more.
        return [
            (base, on)
            for base, on in self.standing.items()
            if on in self.support_clamps and not self.bodies.same(base, on)
        ]

    def _at_table(self, tag: str) -> str:
        return tag if self.temporary.table else ""


def new_state(plan: Plan) -> StringState:
    """Return the empty hole of a plan: nothing joined, nothing hung, everything known about the parts."""
    known = know(plan)
    return StringState(known, Bodies(dict(known.mass_kg)))
