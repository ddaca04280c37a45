"""Which parts are one body: joined where connections are made up, two again where one is broken out."""

from collections.abc import Iterable
from dataclasses import dataclass, field


@dataclass(slots=True)
class Bodies:
    """Guards what is joined to what, and the weight in air of each body [kg].

    A body is named by a number of its own. The smaller side of a connection gets the other's number,
    or a new one, so that a long string costs nothing for each joint.
    """

    mass_kg: dict[str, float]
    _neighbours: dict[str, set[str]] = field(default_factory=dict)
    _of: dict[str, int] = field(default_factory=dict)
    _members: dict[int, set[str]] = field(default_factory=dict)
    _weight_kg: dict[int, float] = field(default_factory=dict)
    _numbered: int = 0

    def of(self, tag: str) -> int:
        """Return the number of the body that a part belongs to."""
        if tag not in self._of:
            self._name_anew({tag})
        return self._of[tag]

    def same(self, one: str, other: str) -> bool:
        """Return whether two parts are of one body; no part is of a body with nothing."""
        return bool(one) and bool(other) and self.of(one) == self.of(other)

    def are_one(self, tags: Iterable[str]) -> bool:
        """Return whether all these parts are of one body."""
        return len({self.of(tag) for tag in tags}) <= 1

    def weight_kg(self, body: int) -> float:
        """Return the weight in air of a body [kg]."""
        return self._weight_kg[body]

    def members(self, body: int) -> frozenset[str]:
        """Return the parts of a body."""
        return frozenset(self._members[body])

    def joints_of(self, tag: str) -> frozenset[str]:
        """Return what a part is joined to directly."""
        return frozenset(self._neighbours.get(tag, ()))

    def load(self, tag: str, mass_kg: float) -> None:
        """Put so much more on a part, or take it off again [kg]."""
        body = self.of(tag)
        self.mass_kg[tag] = self.mass_kg.get(tag, 0.0) + mass_kg
        self._weight_kg[body] += mass_kg

    def join(self, lower: str, upper: str) -> None:
        """Make one body of two."""
        low, up = self.of(lower), self.of(upper)
        self._neighbours.setdefault(lower, set()).add(upper)
        self._neighbours.setdefault(upper, set()).add(lower)
        if low == up:
            return
        small, large = sorted((low, up), key=lambda body: len(self._members[body]))
        moved = self._members.pop(small)
        self._members[large] |= moved
        self._weight_kg[large] += self._weight_kg.pop(small)
        self._of.update(dict.fromkeys(moved, large))

    def part(self, lower: str, upper: str) -> None:
        """Make two bodies of one, where nothing else joins the two sides."""
        self._neighbours.get(lower, set()).discard(upper)
        self._neighbours.get(upper, set()).discard(lower)
        split_off = self._smaller_side(lower, upper)
        body = self.of(lower)
        if len(split_off) == len(self._members[body]):
            return
        self._members[body] -= split_off
        self._weight_kg[body] -= self._mass_kg(split_off)
        self._name_anew(split_off)

    def _smaller_side(self, one: str, other: str) -> set[str]:
        # Both sides are walked in step, so that the cost is that of the smaller one.
        walks = [({one}, [one]), ({other}, [other])]
        while True:
            for seen, waiting in walks:
                if not waiting:
                    return seen
                fresh = self._neighbours.get(waiting.pop(), set()) - seen
                seen.update(fresh)
                waiting.extend(fresh)

    def _name_anew(self, tags: set[str]) -> None:
        self._numbered += 1
        self._members[self._numbered] = set(tags)
        self._weight_kg[self._numbered] = self._mass_kg(tags)
        self._of.update(dict.fromkeys(tags, self._numbered))

    def _mass_kg(self, tags: set[str]) -> float:
        return sum(self.mass_kg.get(tag, 0.0) for tag in tags)
