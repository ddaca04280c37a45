"""Builds the two legs of a system from a few choices, lengths in feet: pump leg, bypass leg and clamps."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import Enum
from itertools import count, cycle

from app.domain.gear import Clamp
from app.domain.parts import Joint, LegEnd, Part, PartKind, Tubing
from app.domain.plan import Mark, SupportClamp, System
from app.domain.quantities import Length, in_unit, length, mass
from app.domain.stations import Span, joint_spans, spans, station_height
from tests.plan_stock import CLAMP_IN, PARTS_FT, PARTS_IN, PARTS_LB, SIZES

STROKE_FT, MARGIN_FT, DROP_FT, SWIVEL_FT = 1.0, 0.1, 6.6, 3.6
COUPLED_LOSS_FT = 0.18
WORK_FT = 4.0
COUPLING_REACH_FT = 6.5 / 12
CLAMP_FT = CLAMP_IN / 12
A_HAIR_FT = 0.01
CLEAR_OF_ENDS_FT, ANOTHER_JOINT_FT = 0.9, 1.0


class Intake(Enum):
    """How an intake comes into the pump leg."""

    BOLT_ON = "bolted to its pump on deck"
    BY_HAND = "bolted on by hand where it is"
    OWN_CLAMP = "lifted by a clamp of its own"


class PupAt(Enum):
    """Where in the bypass leg the pup joints are."""

    TOP = "top"
    MIDDLE = "middle"
    BOTTOM = "bottom"


@dataclass(frozen=True, slots=True)
class SystemChoice:
    """What one system is like.

    `swivel_share` is where in its free stroke the swivel will stand, each of `clamp_shares` where
    between the base of the pump leg and its head a clamp more is wanted.
    """

    motors: int = 1
    seals: int = 2
    pumps: int = 2
    intake: Intake = Intake.BOLT_ON
    gauge: bool = True
    line: bool = True
    discharge_sub: bool = True
    sub_on_pump: bool = False
    seal_on_motor: bool = False
    safety_sub: bool = True
    coupled: bool = False
    bypass_in: float = 2.875
    pups_ft: tuple[float, ...] = ()
    pups_at: PupAt = PupAt.TOP
    joints_ft: tuple[float, ...] = (31.4, 31.38, 30.9)
    swivel_share: float = 0.5
    clamp_shares: tuple[float, ...] = ()
    joints_below: int = 3
    below_in: float = 3.5
    below_flush: bool = False
    below_mid_joint: bool = False

    @property
    def has_line(self) -> bool:
        """Return whether it has a discharge line, which must end at a gauge and at a discharge sub."""
        return self.line and self.gauge and self.discharge_sub

    @property
    def has_crossover(self) -> bool:
        """Return whether size or connection changes between the tubing below and the bypass leg."""
        return (self.below_in, self.below_flush) != (self.bypass_in, not self.coupled)


def pump_leg(number: int, made: SystemChoice) -> tuple[Part, ...]:
    """Return the parts of a pump leg, bottom to top."""
    kinds = (
        *([PartKind.GAUGE] if made.gauge else []),
        *[PartKind.MOTOR] * made.motors,
        *[PartKind.SEAL] * made.seals,
        PartKind.INTAKE,
        *[PartKind.PUMP] * made.pumps,
        *([PartKind.DISCHARGE_SUB] if made.discharge_sub else []),
    )
    numbers = {kind: count(1) for kind in PartKind}
    last_motor = len(kinds) - 1 - kinds[::-1].index(PartKind.MOTOR)
    last_pump = len(kinds) - 1 - kinds[::-1].index(PartKind.PUMP)
    on_deck = {
        *([kinds.index(PartKind.INTAKE)] if made.intake is Intake.BOLT_ON else []),
        *([last_motor] if made.seal_on_motor else []),
        *([last_pump] if made.sub_on_pump and made.discharge_sub else []),
    }
    lifted = {PartKind.MOTOR, PartKind.SEAL, PartKind.PUMP}
    lifted |= {PartKind.INTAKE} if made.intake is Intake.OWN_CLAMP else set()
    return tuple(
        part(
            f"S{number}-{kind.replace(' ', '-')}-{next(numbers[kind])}".upper(),
            kind,
            connection="flange" if position > 0 else "",
            lifting_clamp="LIFTING-CLAMP" if kind in lifted else "",
            made_up_on_deck=position in on_deck,
        )
        for position, kind in enumerate(kinds)
    )


def bypass_leg(number: int, made: SystemChoice, parts: tuple[Part, ...]) -> tuple[Tubing, Mark]:
    """Return bypass tubing whose legs close with the wanted extension, and the mark that closes them."""
    loss_ft = COUPLED_LOSS_FT if made.coupled else 0.0
    height_ft = sum(PARTS_FT[part.kind] for part in parts if part.kind is not PartKind.GAUGE) + DROP_FT
    # What joints must bridge between the mark and the safety sub or swivel.
    left_ft = height_ft - extension_ft(made) - SWIVEL_FT
    left_ft -= PARTS_FT[PartKind.SAFETY_SUB] if made.safety_sub else 0.0
    top_down_ft, mark_at, below_top_ft = _joints_ft(made, left_ft, loss_ft)
    joints = tuple(
        Joint(f"S{number}-B{place}", feet(joint_ft), f"SN-S{number}-B{place}", pup=joint_ft in made.pups_ft)
        for place, joint_ft in enumerate(reversed(top_down_ft), start=1)
    )
    marked = joints[len(joints) - 1 - mark_at]
    bypass = replace(
        tubing(f"system {number} bypass", made.bypass_in, joints, flush=not made.coupled),
        make_up_loss=feet(loss_ft),
    )
    return bypass, Mark(marked.tag, feet(below_top_ft))


def _joints_ft(made: SystemChoice, left_ft: float, loss_ft: float) -> tuple[list[float], int, float]:
    """Return joints from the top down, which of them has the mark, and how far below its top."""
    lengths = cycle(made.joints_ft)
    top_down_ft = list(made.pups_ft) if made.pups_at is PupAt.TOP else []
    if made.pups_at is PupAt.MIDDLE:
        top_down_ft = [next(lengths), *made.pups_ft]
    top_down_ft = top_down_ft or [next(lengths)]
    mark_at = 0
    while left_ft > _net_ft(top_down_ft[: mark_at + 1], loss_ft):
        mark_at += 1
        if mark_at == len(top_down_ft):
            top_down_ft.append(next(lengths))
    below_top_ft = left_ft - _net_ft(top_down_ft[:mark_at], loss_ft)
    # A clamp at the mark keeps off both ends of its joint; the joint above is chosen for that.
    if below_top_ft < CLEAR_OF_ENDS_FT:
        top_down_ft[mark_at - 1] -= ANOTHER_JOINT_FT
    elif top_down_ft[mark_at] - loss_ft - below_top_ft < CLEAR_OF_ENDS_FT:
        top_down_ft[mark_at - 1] += ANOTHER_JOINT_FT
    below_top_ft = left_ft - _net_ft(top_down_ft[:mark_at], loss_ft)
    # Under the mark the leg must go on for slips to grip it while the mark is at working height.
    if made.pups_at is PupAt.BOTTOM:
        top_down_ft += made.pups_ft
    while _net_ft(top_down_ft[mark_at:], loss_ft) - below_top_ft < WORK_FT + A_HAIR_FT:
        top_down_ft.append(next(lengths))
    return top_down_ft, mark_at, below_top_ft


def _net_ft(lengths_ft: list[float], loss_ft: float) -> float:
    return sum(lengths_ft) - loss_ft * len(lengths_ft)


def extension_ft(made: SystemChoice) -> float:
    """Return the extension of the swivel that the lengths are laid out for [ft]."""
    return MARGIN_FT + made.swivel_share * (STROKE_FT - 2 * MARGIN_FT)


def with_clamps(system: System, made: SystemChoice) -> System:
    """Return the system with a clamp wherever one is usual or wanted, and has room."""
    clamped = (PartKind.MOTOR, PartKind.SEAL, PartKind.PUMP)
    usual = [Clamp(part.tag, "bypass clamp", LegEnd.BASE) for part in system.parts if part.kind in clamped]
    wanted = [*usual, Clamp(system.y_block.tag, "bypass clamp", LegEnd.BASE), *_between(system, made)]
    stretches = spans(system)
    fitted: list[Clamp] = []
    for clamp in wanted:
        if _has_room(system, stretches, clamp, fitted):
            fitted.append(clamp)
    return replace(system, clamps=tuple(fitted))


def _between(system: System, made: SystemChoice) -> Iterator[Clamp]:
    """Yield extra clamps, in turn on the bypass joint beside the pump leg and on a pump itself."""
    stretches = joint_spans(system)
    pump = next(part for part in system.parts if part.kind is PartKind.PUMP)
    height_ft = sum(in_unit(part.length, "ft") for part in system.parts if part.kind is not PartKind.GAUGE)
    for number, share in enumerate(made.clamp_shares):
        at = feet(share * height_ft)
        tag = next((tag for tag, span in stretches.items() if span.holds(at)), "")
        if number % 2 == 1:
            yield Clamp(pump.tag, "bypass clamp", below_top=feet(share * in_unit(pump.length, "ft")))
        elif tag:
            yield Clamp(tag, "bypass clamp", below_top=feet(in_unit(stretches[tag].top - at, "ft")))


def _has_room(system: System, stretches: dict[str, Span], clamp: Clamp, fitted: list[Clamp]) -> bool:
    height_ft = in_unit(station_height(clamp, stretches), "ft")
    others = [in_unit(station_height(other, stretches), "ft") for other in fitted]
    others += [0.0] if system.support_clamp is not None else []
    half_ft = CLAMP_FT / 2 + A_HAIR_FT
    reach_ft = half_ft + COUPLING_REACH_FT if system.bypass.coupling_od is not None else 0.0
    ends = [in_unit(stretches[joint.tag].top, "ft") for joint in system.bypass.joints]
    is_clear = all(abs(height_ft - end) >= reach_ft for end in ends)
    is_apart = all(abs(height_ft - other) >= 2 * half_ft for other in others)
    return is_clear and is_apart and _is_on_body(stretches[clamp.at], clamp, half_ft)


def _is_on_body(span: Span, clamp: Clamp, half_ft: float) -> bool:
    if clamp.below_top is None:
        return True
    return half_ft <= in_unit(clamp.below_top, "ft") <= in_unit(span.top - span.base, "ft") - half_ft


def tubing(name: str, od_in: float, joints: tuple[Joint, ...], *, flush: bool) -> Tubing:
    """Return tubing of a published size, flush or coupled."""
    size = SIZES[od_in]
    return Tubing(
        name=name,
        od=length(od_in, "in"),
        id=length(size.id_in, "in"),
        weight=size.weight,
        connection="flush" if flush else "upset",
        joints=joints,
        drift=length(size.drift_in, "in"),
        coupling_od=None if flush else length(size.coupling_in, "in"),
    )


def support_clamp(*, is_upper: bool) -> SupportClamp | None:
    """Return the support clamp of a system over another."""
    return SupportClamp("support clamp") if is_upper else None


def part(
    tag: str, kind: PartKind, *, connection: str = "", lifting_clamp: str = "", made_up_on_deck: bool = False
) -> Part:
    """Return an invented part of a kind."""
    return Part(
        tag=tag,
        kind=kind,
        description=f"invented {kind}",
        length=feet(PARTS_FT[kind]),
        max_od=length(PARTS_IN[kind], "in"),
        weight=mass(PARTS_LB[kind], "lb"),
        connection=connection,
        serial=f"SN-{tag}",
        lifting_clamp=lifting_clamp,
        made_up_on_deck=made_up_on_deck,
    )


def feet(number: float) -> Length:
    """Return a length [m] of so many feet."""
    return length(round(number, 4), "ft")
