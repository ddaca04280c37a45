"""What the weight indicator should show: in air above the fluid, buoyed below it, blocks included.

The string is taken as open steel with the same fluid inside and out. Where the hole leans its wall carries
a part; friction is reckoned with where the plan has a figure for it. Weights are kept as masses, the way
ratings and weight indicators state them.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from app.domain.at_step.drag import Piece, leaning
from app.domain.at_step.following import Followed, follow
from app.domain.checks.loads import STEEL, buoyancy_ratio
from app.domain.operations import Operation
from app.domain.plan import Plan
from app.domain.quantities import Length, Mass
from app.domain.sheet import Step

NOTHING = Mass(0.0)
LOWERINGS = frozenset({Operation.LOWER_LEG, Operation.LOWER_STRING})


@dataclass(frozen=True, slots=True)
class HookLoad:
    """What hangs from the elevators at a moment: in air, buoyed, and the blocks over it [kg].

    `on_wall` is what the wall of an inclined hole carries of it, `drag` what friction holds back going in.
    `shared` says that something else holds the same leg too, so that the indicator may show less.
    """

    air: Mass
    buoyed: Mass
    blocks: Mass
    on_wall: Mass = NOTHING
    drag: Mass = NOTHING
    shared: bool = False

    @property
    def along(self) -> Mass:
        """Return what pulls along the hole while nothing rubs [kg]."""
        return self.buoyed - self.on_wall

    @property
    def expected(self) -> Mass:
        """Return what the weight indicator should show while nothing rubs [kg]."""
        return self.along + self.blocks

    @property
    def going_in(self) -> Mass:
        """Return what the weight indicator should show on the way in, against friction [kg]."""
        return self.expected - self.drag


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """One lowering: its step, how deep the base is at its end [m], and what the hook carries there."""

    step: Step
    depth: Length
    load: HookLoad


def hook_load(followed: Followed) -> HookLoad:
    """Return what hangs from the elevators after the steps that were followed [kg]."""
    state = followed.state
    blocks = followed.plan.rig.travelling_weight
    body = state.bodies.of(state.elevators) if state.elevators else None
    if body is None or body not in state.hung:
        return HookLoad(NOTHING, NOTHING, blocks)
    hanging = next(item for item in state.hangings() if state.bodies.of(item.tag) == body)
    shared = sum(support.is_primary for support in hanging.supports) > 1
    bodies = [body, *_standing_on(followed, body)]
    pieces = [piece for item in bodies for piece in _pieces(followed, item)]
    air = Mass(sum(state.bodies.weight_kg(item) for item in bodies))
    friction = followed.plan.friction
    leans = leaning(pieces, followed.way, friction.si if friction is not None else 0.0)
    return HookLoad(
        air,
        air - Mass(sum(piece.lost_kg for piece in pieces)),
        blocks,
        on_wall=Mass(leans.on_wall_kg),
        drag=Mass(leans.drag_kg),
        shared=shared,
    )


def buoyancy_kg(followed: Followed, body: int) -> float:
    """Return what the well's fluid takes off the weight of a body [kg]; nothing off what hangs free."""
    return sum(piece.lost_kg for piece in _pieces(followed, body))


def _pieces(followed: Followed, body: int) -> Iterator[Piece]:
    """Yield each part of a body that has its place in the string, as deep as it stands now."""
    well, state = followed.plan.well, followed.state
    base_m = followed.base_depth_m(body)
    if base_m is None:
        return
    lost_ratio = 1.0 - buoyancy_ratio(well.fluid_density, STEEL)
    for tag in state.bodies.members(body):
        if tag in followed.lines:
            line = followed.lines[tag]
            top_m, dry_kg = base_m - line.cumulative.si, state.bodies.mass_kg[tag]
            under = immersed_ratio(Length(top_m), line.length, well.fluid_level)
            yield Piece(top_m, line.length.si, dry_kg, lost_kg=dry_kg * under * lost_ratio)


def immersed_ratio(top: Length, long: Length, fluid_level: Length) -> float:
    """Return the share of something upright that is under the fluid level [1].

    (top + length - level) / length. Source: geometry. Range: held between nothing and all of it.
    """
    under_m = top.si + long.si - fluid_level.si
    if long.si <= 0.0:
        return 1.0 if under_m > 0.0 else 0.0
    return min(max(under_m / long.si, 0.0), 1.0)


def hook_load_curve(plan: Plan, steps: Iterable[Step]) -> tuple[CurvePoint, ...]:
    """Return what the hook carries at the end of each lowering, joint by joint."""
    return tuple(_points(plan, steps))


def _points(plan: Plan, steps: Iterable[Step]) -> Iterator[CurvePoint]:
    followed = follow(plan)
    for step in steps:
        followed.do(step)
        if step.operation in LOWERINGS and followed.depth_m is not None:
            yield CurvePoint(step, Length(followed.depth_m), hook_load(followed))


def _standing_on(followed: Followed, body: int) -> Iterator[int]:
    """Yield each body that stands on one, as a pump leg does on the support clamp of a bypass leg."""
    state = followed.state
    for base, on in state.standing.items():
        standing = state.bodies.of(base)
        if on in state.support_clamps and state.bodies.of(on) == body and standing != body:
            yield standing
