"""What lifting and handling gear must serve for in a plan, and the greatest load it sees there.

Every leg and every piece of gear is rated for all that it could ever see: until both legs are joined
in one Y-block one of them carries everything, so loads are never shared out.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from app.domain.checks.loads import (
    bypass_load,
    hanging_below,
    leg_weights,
    string_weight,
    system_weight,
)
from app.domain.checks.places import place, system_place
from app.domain.gear import SIZED, GearKind, LiftingGear, grips
from app.domain.legs import holder, lifted_together
from app.domain.parts import Tubing
from app.domain.plan import Plan
from app.domain.quantities import Length, Mass, mass, total

NOTHING = mass(0.0, "kg")


@dataclass(frozen=True, slots=True)
class Need:
    """A purpose that gear must serve, and the greatest load [kg] it sees there.

    A need for one certain piece names its tag, a need by size its size. `lifts` are the tags of what is
    picked up towards that load.
    """

    kind: GearKind
    purpose: str
    load: Mass
    where: str = "lifting_gear"
    size: Length | None = None
    tag: str = ""
    count: int = 1
    lifts: frozenset[str] = frozenset()

    def is_served_by(self, gear: LiftingGear) -> bool:
        """Return whether a piece is of the kind, size and tag that is needed."""
        if gear.kind is not self.kind or (self.tag and gear.tag != self.tag):
            return False
        if self.size is None:
            return True
        # What grips by size must say which, and is no help without.
        return grips(gear, self.size) and (gear.size is not None or self.kind not in SIZED)


def gear_needs(plan: Plan) -> tuple[Need, ...]:
    """Return all that lifting and handling gear must serve for, in running order."""
    needs: list[Need] = []
    for position, system in enumerate(plan.systems):
        below = hanging_below(plan, position)
        complete = total(Mass, (below, system_weight(plan, system)))
        if system.tubing_below is not None:
            needs += _tubing(system.tubing_below, below)
        needs += _tubing(system.bypass, complete, system.y_block.tag)
        needs += (*_bypass_leg(plan, position), *_pump_leg(plan, position))
        block = frozenset({system.y_block.tag})
        needs.append(Need(GearKind.WORK_TABLE, f"landing system '{system.name}'", complete, lifts=block))
    needs += _tubing(plan.production.tubing, string_weight(plan), plan.production.hanger.tag)
    needs.append(Need(GearKind.HOLE_COVER, "loose gear over an open hole", NOTHING))
    return tuple(needs)


def _tubing(tubing: Tubing, load: Mass, *last: str) -> Iterator[Need]:
    lifts = frozenset((*(joint.tag for joint in tubing.joints), *last))
    for kind in (GearKind.ELEVATORS, GearKind.SLIPS):
        yield Need(kind, f"the {tubing.name}", load, size=tubing.od, lifts=lifts)
    if tubing.is_flush:
        # Nothing to latch under and nothing for slips to catch on: a nubbin lifts it, a collar backs them.
        for kind in (GearKind.LIFT_NUBBIN, GearKind.DOG_COLLAR):
            yield Need(kind, f"the flush {tubing.name}", load, size=tubing.od, lifts=lifts)


def _bypass_leg(plan: Plan, position: int) -> Iterator[Need]:
    system = plan.systems[position]
    load = bypass_load(plan, position)
    yield Need(
        GearKind.SAFETY_CLAMP,
        f"holding the bypass leg of system '{system.name}'",
        load,
        size=system.bypass.od,
        lifts=frozenset({system.y_block.tag}),
    )


def _pump_leg(plan: Plan, position: int) -> Iterator[Need]:
    system = plan.systems[position]
    where = place(system_place(position, system), "parts")
    lifts, weights = lifted_together(system), leg_weights(system)
    held_by = [holder(lift) for lift in lifts]
    clamps = [part.lifting_clamp if part is not None else "" for part in held_by]
    for number, (tag, weight) in enumerate(zip(clamps, weights, strict=True)):
        if tag:
            # The leg hangs by one clamp on the table while the next part comes in by its own.
            both_on = 2 if next(filter(None, clamps[number + 1 :]), "") == tag else 1
            purpose = f"lifting and landing {lifts[number][-1].tag}"
            lifted = frozenset(part.tag for part in lifts[number])
            yield Need(GearKind.LIFTING_CLAMP, purpose, weight, where, tag=tag, count=both_on, lifts=lifted)
    if any(clamps):
        leg = frozenset(part.tag for part in system.parts)
        yield Need(GearKind.SLINGS, f"the pump leg of system '{system.name}'", weights[-1], where, lifts=leg)
