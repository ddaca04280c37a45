"""The string at one moment of the run: what is joined, what hangs from what, what is still open."""

from collections.abc import Iterator
from dataclasses import dataclass, field

from app.domain.gear import GearKind, LiftingGear, grips
from app.domain.plan import Plan
from app.domain.quantities import Length, Mass
from app.domain.string.known import (
    couplings,
    grip_sizes,
    leg_names,
    line_wanted,
    part_weights,
    stations_wanted,
)
from app.domain.string.supports import Support, SupportKind


@dataclass(frozen=True, slots=True)
class Hanging:
    """One body that hangs or stands: its leg's name, what holds it, and its weight in air [kg]."""

    leg: str
    supports: tuple[Support, ...]
    weight: Mass

    @property
    def is_held(self) -> bool:
        """Return whether a primary support holds it."""
        return any(support.is_primary for support in self.supports)


@dataclass(slots=True)
class StringState:
    """Guards the string while a sheet is walked: each step changes it in place, nothing else does."""

    plan: Plan
    elevators: str = ""
    slips: str = ""
    collar: str = ""
    safety_clamp: str = ""
    rigged: tuple[str, ...] = ()
    table: bool = False
    cover: bool = False
    landed: str = ""
    clamps: dict[str, str] = field(default_factory=dict)
    on_table: set[str] = field(default_factory=set)
    on_slings: set[str] = field(default_factory=set)
    on_support: dict[str, str] = field(default_factory=dict)
    support_clamps: set[str] = field(default_factory=set)
    nubbins: set[str] = field(default_factory=set)
    protectors: set[str] = field(default_factory=set)
    open_swivels: set[str] = field(default_factory=set)
    lock_rings: set[str] = field(default_factory=set)
    landing_joint: bool = False
    box_doped: set[str] = field(default_factory=set)
    pin_doped: set[str] = field(default_factory=set)
    stabbed: set[str] = field(default_factory=set)
    dressed: set[str] = field(default_factory=set)
    protected: set[str] = field(default_factory=set)
    line_on: set[str] = field(default_factory=set)
    untested: set[str] = field(default_factory=set)
    hung: dict[str, str] = field(default_factory=dict)
    parent: dict[str, str] = field(default_factory=dict)
    mass_kg: dict[str, float] = field(default_factory=dict)
    legs: dict[str, str] = field(default_factory=dict)
    sizes: dict[str, Length] = field(default_factory=dict)
    flush: frozenset[str] = frozenset()
    stations: dict[str, tuple[str, ...]] = field(default_factory=dict)
    couplings: frozenset[str] = frozenset()
    line_wanted: frozenset[str] = frozenset()
    lifted_by_clamp: frozenset[str] = frozenset()
    due: set[str] = field(default_factory=set)
    due_on_joints: set[str] = field(default_factory=set)
    gear: dict[str, LiftingGear] = field(default_factory=dict)

    def body(self, tag: str) -> str:
        """Return the name of the body that a part belongs to."""
        root = tag
        while self.parent.get(root, root) != root:
            root = self.parent[root]
        while self.parent.get(tag, tag) != root:
            self.parent[tag], tag = root, self.parent.get(tag, tag)
        return root

    def join(self, lower: str, upper: str) -> None:
        """Make one body of two."""
        low, up = self.body(lower), self.body(upper)
        if low == up:
            return
        self.parent[up] = low
        self.mass_kg[low] = self.weight_kg(low) + self.mass_kg.pop(up, self.mass_kg.get(up, 0.0))
        if up in self.hung:
            del self.hung[up]
            self.hung.setdefault(low, lower)

    def come_due(self, tags: tuple[str, ...]) -> None:
        """Make the stations of parts due; one on a bypass joint waits for the pump leg beside it."""
        for tag in tags:
            waiting = self.due_on_joints if tag in self.sizes else self.due
            waiting.update(name for name in self.stations.get(tag, ()) if name not in self.dressed)

    def weight_kg(self, root: str) -> float:
        """Return the weight in air of a body [kg]."""
        return self.mass_kg.get(root, 0.0)

    def same(self, one: str, other: str) -> bool:
        """Return whether two parts are of one body; nothing is of a body with no part."""
        return bool(one) and bool(other) and self.body(one) == self.body(other)

    def is_held_without_elevators(self, tag: str) -> bool:
        """Return whether slips, a clamp at the table or a landed hanger hold the body of a part."""
        root = self.body(tag)
        return any(
            support.is_primary and support.kind is not SupportKind.ELEVATORS
            for support in self._supports(root)
        )

    def is_held_without_clamp(self, tag: str) -> bool:
        """Return whether anything but the lifting clamp on this very part holds its body."""
        return any(support.is_primary and support.on != tag for support in self._supports(self.body(tag)))

    def is_rigged_for(self, kind: GearKind, tag: str) -> bool:
        """Return whether gear of a kind is rigged that grips a part, where the plan has any of it."""
        if not any(item.kind is kind for item in self.plan.lifting_gear):
            return True
        return any(item.kind is kind and self.fits(item, tag) for item in self._rigged_gear())

    def line_wanted_below(self) -> frozenset[str]:
        """Return the parts that hang already and that the orientation line must be carried up."""
        return frozenset(tag for tag in self.line_wanted if self.same(tag, self.slips))

    def hangings(self) -> tuple[Hanging, ...]:
        """Return every body that hangs or stands now, with what holds it."""
        return tuple(self.hanging(root, tag) for root, tag in self.hung.items())

    def hanging(self, root: str, tag: str) -> Hanging:
        """Return one body with what holds it and what it carries."""
        carried = sum(
            self.weight_kg(self.body(base)) for base, on in self._standing() if self.body(on) == root
        )
        own = self.weight_kg(root)
        return Hanging(self.legs.get(tag, tag), tuple(self._supports(root)), Mass(own + carried))

    def _supports(self, root: str) -> list[Support]:
        found = [
            Support(kind, tag, self._gear_of(kind, tag))
            for kind, tag in (
                (SupportKind.ELEVATORS, self.elevators),
                (SupportKind.SLIPS, self.slips),
                (SupportKind.DOG_COLLAR, self.collar),
                (SupportKind.SAFETY_CLAMP, self.safety_clamp if self.table else ""),
                (SupportKind.HANGER, self.landed),
            )
            if tag and self.body(tag) == root
        ]
        found += [
            Support(SupportKind.SLINGS, tag, self.clamps.get(tag, ""))
            for tag in sorted(self.on_slings)
            if self.body(tag) == root
        ]
        found += [
            Support(SupportKind.LIFTING_CLAMP, tag, self.clamps.get(tag, ""))
            for tag in sorted(self.on_table)
            if self.table and self.body(tag) == root
        ]
        found += [
            Support(SupportKind.SUPPORT_CLAMP, on) for base, on in self._standing() if self.body(base) == root
        ]
        return found

    def _standing(self) -> list[tuple[str, str]]:
        # Once the Y-block joins both legs, neither stands on the other any more.
        return [(base, on) for base, on in self.on_support.items() if not self.same(base, on)]

    def _gear_of(self, kind: SupportKind, tag: str) -> str:
        kinds = {
            SupportKind.ELEVATORS: GearKind.ELEVATORS,
            SupportKind.SLIPS: GearKind.SLIPS,
            SupportKind.DOG_COLLAR: GearKind.DOG_COLLAR,
            SupportKind.SAFETY_CLAMP: GearKind.SAFETY_CLAMP,
        }
        wanted = kinds.get(kind)
        rigged = next((item.tag for item in self._rigged_gear() if item.kind is wanted), "")
        return rigged or self._fitting(wanted, tag)

    def _rigged_gear(self) -> Iterator[LiftingGear]:
        return (self.gear[tag] for tag in self.rigged if tag in self.gear)

    def _fitting(self, wanted: GearKind | None, tag: str) -> str:
        for item in self.plan.lifting_gear:
            if item.kind is wanted and self.fits(item, tag):
                return item.tag
        return ""

    def fits(self, item: LiftingGear, tag: str) -> bool:
        """Return whether gear grips the size of a part; gear without a size grips any."""
        size = self.sizes.get(tag)
        return size is None or grips(item, size)


def new_state(plan: Plan) -> StringState:
    """Return the empty hole of a plan: nothing joined, nothing hung, everything known about the parts."""
    state = StringState(plan)
    state.mass_kg = {tag: weight.si for tag, weight in part_weights(plan).items()}
    state.legs = leg_names(plan)
    state.sizes, state.flush = grip_sizes(plan)
    state.gear = {item.tag: item for item in plan.lifting_gear}
    state.stations = stations_wanted(plan)
    state.couplings, state.line_wanted = couplings(plan), line_wanted(plan)
    state.lifted_by_clamp = frozenset(
        part.tag for system in plan.systems for part in system.parts if part.lifting_clamp
    )
    return state
