"""A cross-section of the string: what lies in it and where, the circle round all, and what governs it."""

from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache

from app.domain.quantities import Length
from app.domain.room.enclosing import KEPT, Circle, enclosing_circle, touches
from app.domain.room.outlines import Outline, lying_at
from app.domain.room.settling import settle_beside, settle_round

SAME_PLACE_M = 1e-6  # a micrometre: whatever comes so near to the circle holds it


class Role(StrEnum):
    """What a member of a cross-section is, as its picture shows it."""

    BODY = "body"
    CLAMP = "clamp"
    CABLE = "cable"
    LINE = "line"


@dataclass(frozen=True, slots=True)
class Item:
    """Something that has an outline and a name; it lies nowhere yet."""

    name: str
    role: Role
    outline: Outline


@dataclass(frozen=True, slots=True)
class Member:
    """Something in its place: a circle, or the two end circles of something flat."""

    name: str
    role: Role
    circles: tuple[Circle, ...]


@dataclass(frozen=True, slots=True)
class CrossSection:
    """Members, the smallest circle round them, and the names of those that it is held by."""

    members: tuple[Member, ...]
    around: Circle
    governing: tuple[str, ...]

    @property
    def width(self) -> Length:
        """Return the diameter of the circle round all [m]."""
        return Length(2.0 * self.around.radius_m)


def round_item(name: str, diameter: Length, role: Role = Role.BODY) -> Item:
    """Return something round, of a diameter [m]."""
    return Item(name, role, Outline(diameter.si, diameter.si))


def flat_item(name: str, width: Length, thickness: Length) -> Item:
    """Return a flat cable; whichever size [m] is the larger is its width, and a round one has two alike."""
    return Item(name, Role.CABLE, Outline(max(width.si, thickness.si), min(width.si, thickness.si)))


@lru_cache(maxsize=KEPT)
def alone(item: Item, small: tuple[Item, ...] = ()) -> CrossSection:
    """Return the section of one body with what is strapped to it, spread round it as wide as can be."""
    spread = settle_round(item.outline, tuple(one.outline for one in small))
    members = (
        _member(item, lying_at(item.outline, 0.0, 0.0)),
        *(_member(one, circles) for one, circles in zip(small, spread, strict=True)),
    )
    return _measured(members)


@lru_cache(maxsize=KEPT)
def beside(first: Item, second: Item, small: tuple[Item, ...]) -> CrossSection:
    """Return the section of two legs that are free to settle, small members in the pockets."""
    settled = settle_beside(first.outline, second.outline, tuple(one.outline for one in small))
    members = tuple(
        _member(item, circles)
        for item, circles in zip(
            (first, second, *small), (*((leg,) for leg in settled.legs), *settled.small), strict=True
        )
    )
    # Small members touch the wall too; unless they push the legs apart, the legs alone are as wide.
    names = (first, second, *small) if settled.is_pushed_apart else (first, second)
    around = Circle(0.0, 0.0, settled.radius_m)
    return CrossSection(members, around, tuple(item.name for item in names))


@lru_cache(maxsize=KEPT)
def clamped(
    legs: tuple[Item, Item],
    apart_m: float | None,
    clamp: Item,
    seated: tuple[Member, ...],
    loose: tuple[Item, ...],
) -> CrossSection:
    """Return the section of two legs that a clamp holds, its body round the middle of both.

    What has a seat lies there; the rest lies in the pockets.
    """
    first, second = legs
    settled = settle_beside(
        first.outline,
        second.outline,
        tuple(one.outline for one in loose),
        apart_m if apart_m is not None else first.outline.radius_m + second.outline.radius_m,
    )
    middle = enclosing_circle(settled.legs)
    members = (
        _member(clamp, (Circle(middle.x_m, middle.y_m, clamp.outline.radius_m),)),
        *(_member(leg, (circle,)) for leg, circle in zip(legs, settled.legs, strict=True)),
        *(_moved(member, middle) for member in seated),
    )
    in_pockets = tuple(_member(one, circles) for one, circles in zip(loose, settled.small, strict=True))
    if settled.is_pushed_apart:
        return _measured((*members, *in_pockets))
    # What lies in a pocket touches the circle round the legs, but does not widen it.
    measured = _measured(members)
    return replace(measured, members=(*members, *in_pockets))


@lru_cache(maxsize=KEPT)
def protected(item: Item, clamp: Item, small: tuple[Item, ...]) -> CrossSection:
    """Return the section of a coupling under its protector, whose width is measured with cables in it."""
    inside = alone(item, small)
    body = Circle(0.0, 0.0, max(clamp.outline.radius_m, item.outline.radius_m))
    return CrossSection((_member(clamp, (body,)), *inside.members[:1]), body, (clamp.name,))


def seated(item: Item, distance: Length, angle: float) -> Member:
    """Return something in its seat of a clamp, lying across the direction from the clamp's middle."""
    return _member(item, lying_at(item.outline, distance.si, angle))


def _measured(members: tuple[Member, ...]) -> CrossSection:
    around = enclosing_circle(tuple(circle for member in members for circle in member.circles))
    governing = tuple(
        member.name
        for member in members
        if any(touches(around, circle, SAME_PLACE_M) for circle in member.circles)
    )
    return CrossSection(members, around, governing)


def _moved(member: Member, middle: Circle) -> Member:
    """Return a member moved from the middle of the picture to another one."""
    circles = (
        Circle(circle.x_m + middle.x_m, circle.y_m + middle.y_m, circle.radius_m) for circle in member.circles
    )
    return replace(member, circles=tuple(circles))


def _member(item: Item, circles: tuple[Circle, ...]) -> Member:
    return Member(item.name, item.role, circles)
