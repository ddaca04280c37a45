"""The string as things that stand side by side, and the layers between the depths where any of them ends."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from app.domain.room.cross_section import Item

THINNEST_M = 1e-6  # layers thinner than this come from rounding, not from the string


@dataclass(frozen=True, slots=True)
class Stretch:
    """Something that reaches from one depth to another, and its place in the plan."""

    top_m: float
    base_m: float
    item: Item
    where: str


@dataclass(frozen=True, slots=True)
class Tracks:
    """What may stand side by side: on each track, from the top down, one thing at a time."""

    pump_leg: tuple[Stretch, ...]
    leg: tuple[Stretch, ...]
    couplings: tuple[Stretch, ...]
    protectors: tuple[Stretch, ...]
    small: tuple[tuple[Stretch, ...], ...]


@dataclass(frozen=True, slots=True)
class Layer:
    """Two depths between which the string is the same, and what it is there."""

    top_m: float
    base_m: float
    pump_part: Stretch | None
    leg: Stretch | None
    coupling: Stretch | None
    protector: Stretch | None
    small: tuple[Item, ...]

    @property
    def beside(self) -> Stretch | None:
        """Return the wider of leg and coupling, or none where neither is."""
        if self.coupling is None or self.leg is None:
            return self.coupling or self.leg
        return max(self.leg, self.coupling, key=lambda stretch: stretch.item.outline.width_m)


def layers(tracks: Tracks) -> tuple[Layer, ...]:
    """Return the layers of a string from the top down."""
    return tuple(_merged(_cut(tracks)))


def layer_at(string: tuple[Layer, ...], depth_m: float) -> Layer | None:
    """Return the layer at a depth, or none beyond the string."""
    low, high = 0, len(string)
    while low < high:
        middle = (low + high) // 2
        if string[middle].base_m <= depth_m:
            low = middle + 1
        else:
            high = middle
    return string[low] if low < len(string) and string[low].top_m <= depth_m else None


def _cut(tracks: Tracks) -> Iterator[Layer]:
    rows = (tracks.pump_leg, tracks.leg, tracks.couplings, tracks.protectors, *tracks.small)
    edges = sorted({edge for row in rows for stretch in row for edge in (stretch.top_m, stretch.base_m)})
    readers = tuple(_Reader(row) for row in rows)
    for top_m, base_m in pairwise(edges):
        if base_m - top_m < THINNEST_M:
            continue
        pump_part, leg, coupling, protector, *small = (
            reader.at((top_m + base_m) / 2.0) for reader in readers
        )
        items = tuple(stretch.item for stretch in small if stretch is not None)
        yield Layer(top_m, base_m, pump_part, leg, coupling, protector, items)


def _merged(cut: Iterator[Layer]) -> Iterator[Layer]:
    """Yield layers, those that touch and are alike as one."""
    last: Layer | None = None
    for layer in cut:
        if last is not None and _alike(last, layer):
            last = replace(last, base_m=layer.base_m)
            continue
        if last is not None:
            yield last
        last = layer
    if last is not None:
        yield last


class _Reader:
    """Reads one track from the top down; it guards how far it has come."""

    def __init__(self, track: tuple[Stretch, ...]) -> None:
        self._track = track
        self._next = 0

    def at(self, depth_m: float) -> Stretch | None:
        """Return what stands at a depth that is not above the one asked for before."""
        while self._next < len(self._track) and self._track[self._next].base_m <= depth_m:
            self._next += 1
        here = self._track[self._next] if self._next < len(self._track) else None
        return here if here is not None and here.top_m <= depth_m else None


def _alike(above: Layer, below: Layer) -> bool:
    touch = below.top_m - above.base_m < THINNEST_M
    return touch and _things(above) == _things(below)


def _things(layer: Layer) -> tuple[object, ...]:
    return layer.pump_part, layer.leg, layer.coupling, layer.protector, layer.small
