"""What is where on the floor at one moment, and what can be asked of it."""

from collections.abc import Iterable
from dataclasses import dataclass, field, fields

from tests.domain.string.oracle.facts import Facts

Body = frozenset[str]


@dataclass(slots=True)
class Floor:
    """Guards what holds, joins and dresses the string at one moment of a walk.

    `bodies` gives each joined tag all that it is joined with. `elevators`, `slips`, `collar` and
    `safety_clamp` are tags of parts that they are on; the rated gear itself stands beside them.
    """

    facts: Facts
    elevators: str | None = None
    elevators_gear: str = ""
    slips: str | None = None
    slips_gear: str = ""
    collar: str | None = None
    safety_clamp: str | None = None
    safety_gear: str = ""
    table: bool = False
    cover: bool = False
    clamps: dict[str, str] = field(default_factory=dict)
    slings: dict[str, str] = field(default_factory=dict)
    on_table: set[str] = field(default_factory=set)
    support_clamps: list[tuple[str, str]] = field(default_factory=list)
    standing: dict[str, tuple[str, str]] = field(default_factory=dict)
    nubbins: set[str] = field(default_factory=set)
    protectors: set[str] = field(default_factory=set)
    open_swivels: set[str] = field(default_factory=set)
    lock_rings: set[str] = field(default_factory=set)
    landing_joint: bool = False
    boxes_doped: set[str] = field(default_factory=set)
    pins_doped: set[str] = field(default_factory=set)
    stabbed: dict[str, str] = field(default_factory=dict)
    due_on_pump_leg: set[str] = field(default_factory=set)
    due_on_tubing: set[str] = field(default_factory=set)
    couplings: set[str] = field(default_factory=set)
    middles: set[str] = field(default_factory=set)
    leads: set[str] = field(default_factory=set)
    spliced: set[str] = field(default_factory=set)
    landed: str | None = None
    rigged: set[str] = field(default_factory=set)
    counted: bool = False
    bodies: dict[str, Body] = field(default_factory=dict)
    picked_up: set[str] = field(default_factory=set)
    added: dict[str, float] = field(default_factory=dict)
    dressed: set[str] = field(default_factory=set)

    def copy(self) -> "Floor":
        """Return a floor that is the same now and goes its own way from here."""
        other = Floor(self.facts)
        for name in CHANGING:
            value = getattr(self, name)
            setattr(other, name, value.copy() if isinstance(value, set | dict | list) else value)
        return other

    def body_of(self, tag: str) -> Body:
        """Return all parts that a part is joined with, itself among them."""
        return self.bodies.get(tag) or frozenset({tag})

    def join(self, lower: str, upper: str) -> None:
        """Note a connection; the two are one body from now on."""
        both = self.body_of(lower) | self.body_of(upper)
        self.bodies.update(dict.fromkeys(both, both))

    def one_body(self, tags: Iterable[str]) -> bool:
        """Return whether all tags are joined with each other."""
        return len({self.body_of(tag) for tag in tags}) <= 1

    def elevators_hold(self, tag: str) -> bool:
        """Return whether the elevators are on a part of the tag's body."""
        return self.elevators in self.body_of(tag)

    def slips_are_on(self, tag: str) -> bool:
        """Return whether the slips are on a part of the tag's body."""
        return self.slips in self.body_of(tag)

    def hanging(self) -> set[Body]:
        """Return every body of which a part was picked up."""
        bodies, left = set[Body](), self.picked_up.copy()
        while left:
            body = self.body_of(left.pop())
            bodies.add(body)
            left -= body
        return bodies

    def is_held(self, body: Body) -> bool:
        """Return whether any primary support is on a body."""
        return self.elevators in body or bool(self.other_supports(body))

    def held_without_elevators(self, tag: str) -> bool:
        """Return whether a primary support other than the elevators is on the tag's body."""
        return bool(self.other_supports(self.body_of(tag)))

    def other_supports(self, body: Body) -> list[tuple[str, str]]:
        """Return each primary support on a body besides the elevators: what it is, and on which part."""
        singles = (("slips", self.slips), ("hanger", self.landed))
        found = [(name, at) for name, at in singles if at in body and at is not None]
        if self.table and self.safety_clamp in body and self.safety_clamp is not None:
            found.append(("safety clamp", self.safety_clamp))
        if self.table:
            found += [("lifting clamp", at) for at in self.on_table if at in body and at in self.clamps]
        found += [("slings", at) for at in self.slings if at in body]
        found += [("support clamp", at) for at, _, _ in self.standing_parts(body)]
        return found

    def standing_parts(self, body: Body) -> list[tuple[str, str, str]]:
        """Return the parts of a body whose base stands on another body: part, joint below, clamp type."""
        return [
            (part, joint, clamp_type)
            for part, (joint, clamp_type) in self.standing.items()
            if part in body and joint not in body
        ]

    def collar_is_where_it_must_be(self, tag: str) -> bool:
        """Return whether slips on flush pipe of the tag's body have the dog collar above them."""
        if not self.slips_are_on(tag) or self.slips not in self.facts.flush:
            return True
        return self.collar in self.body_of(tag)

    def nothing_temporary_below(self, top: str) -> bool:
        """Return whether no part of a leg but its top has temporary gear on it."""
        temporary = self.nubbins | self.protectors | self.open_swivels | set(self.clamps) | set(self.slings)
        if self.safety_clamp is not None:
            temporary.add(self.safety_clamp)
        # The elevators hold a leg by its top, whatever part of it is being brought to working height.
        return not temporary & (self.body_of(top) - {top, self.elevators})

    def nothing_left_on(self) -> bool:
        """Return whether no temporary gear is on the string or over the hole."""
        things = (self.clamps, self.slings, self.nubbins, self.protectors, self.open_swivels)
        places = (self.collar, self.safety_clamp, self.slips)
        flags = (self.table, self.cover, self.landing_joint)
        return not any(things) and all(place is None for place in places) and not any(flags)

    def come_due(self, tags: Iterable[str]) -> None:
        """Note the stations that the plan wants at some parts and that are not dressed yet."""
        for tag in tags:
            wanted = {station for station in self.facts.stations.get(tag, []) if station not in self.dressed}
            (self.due_on_pump_leg if tag in self.facts.pump_leg else self.due_on_tubing).update(wanted)

    def dress(self, station: str, tag: str = "", clamp_type: str = "") -> None:
        """Note a station as dressed, and the weight of its clamp on the part."""
        if tag and station not in self.dressed:
            self.add_mass(tag, self.facts.clamp_masses.get(clamp_type, 0.0))
        self.dressed.add(station)
        self.due_on_pump_leg.discard(station)
        self.due_on_tubing.discard(station)

    def add_mass(self, tag: str, kilograms: float) -> None:
        """Note weight that comes on a part besides its own."""
        self.added[tag] = self.added.get(tag, 0.0) + kilograms

    def standing_on(self, body: Body) -> set[Body]:
        """Return the other bodies that stand on support clamps of a body."""
        found = {self.body_of(part) for part, (joint, _) in self.standing.items() if joint in body}
        return found - {body}

    def mass_of(self, body: Body) -> float:
        """Return the weight in air of a body with all that was fitted to it [kg]."""
        own = sum(self.facts.masses.get(tag, 0.0) for tag in body)
        return own + sum(kilograms for tag, kilograms in self.added.items() if tag in body)


CHANGING = [found.name for found in fields(Floor) if found.name != "facts"]
