"""Where clamps sit: the height of every station of a system over its datum."""

from collections.abc import Mapping
from dataclasses import dataclass

from app.domain.gear import Clamp
from app.domain.legs import parts_above_datum
from app.domain.parts import LegEnd
from app.domain.plan import System
from app.domain.quantities import NO_LENGTH, Length


@dataclass(frozen=True, slots=True)
class Span:
    """The stretch of a leg that a part or joint takes up, in heights over the datum [m]."""

    base: Length
    top: Length

    def holds(self, height: Length) -> bool:
        """Return whether a height [m] lies in it, its base counted to what is below."""
        return self.base.si < height.si <= self.top.si


@dataclass(frozen=True, slots=True)
class Seated:
    """A clamp where it sits on the legs, the support clamp among them: how high over the datum [m]."""

    type: str
    station: str
    words: str
    height: Length


def part_spans(system: System) -> dict[str, Span]:
    """Return by tag the stretch of each pump-leg part, bottom to top, and of the Y-block's pump side."""
    below_datum = system.parts[: len(system.parts) - len(parts_above_datum(system))]
    height = NO_LENGTH
    for part in below_datum:
        height = height - part.length
    stretches: dict[str, Span] = {}
    for part in system.parts:
        stretches[part.tag] = Span(height, height + part.length)
        height = height + part.length
    block = system.y_block
    return stretches | {block.tag: Span(height, height + block.drop)}


def joint_spans(system: System) -> dict[str, Span]:
    """Return by tag the stretch of each bypass joint, bottom to top, make-up loss taken off."""
    bypass, up_to_mark = system.bypass, True
    height = NO_LENGTH
    for joint in bypass.joints:
        if up_to_mark:
            height = height - joint.length + bypass.make_up_loss
        up_to_mark = up_to_mark and joint.tag != system.datum.joint
    height = height + system.datum.below_top
    stretches: dict[str, Span] = {}
    for joint in bypass.joints:
        top = height + joint.length - bypass.make_up_loss
        stretches[joint.tag] = Span(height, top)
        height = top
    return stretches


def spans(system: System) -> dict[str, Span]:
    """Return by tag the stretch of everything that a clamp may sit on."""
    return part_spans(system) | joint_spans(system)


def station_height(clamp: Clamp, stretches: Mapping[str, Span]) -> Length:
    """Return the height of a clamp's station over the datum, from the stretches of its system [m].

    Raises: KeyError where the system has no such part or joint; the checks find that.
    """
    span = stretches[clamp.at]
    if clamp.below_top is not None:
        return span.top - clamp.below_top
    return span.base if clamp.end is LegEnd.BASE else span.top


def seated_clamps(system: System) -> tuple[Seated, ...]:
    """Return every clamp of a system where it sits, lowest first.

    Raises: KeyError where one is on nothing that the system has; the checks find that.
    """
    stretches = spans(system)
    seated = [
        Seated(clamp.type, clamp.station, f"{clamp.type} {clamp.place}", station_height(clamp, stretches))
        for clamp in system.clamps
    ]
    if system.support_clamp is not None:
        kind = system.support_clamp.type
        seated.append(Seated(kind, f"{system.datum.joint} mark", kind, NO_LENGTH))
    return tuple(sorted(seated, key=lambda clamp: clamp.height.si))
