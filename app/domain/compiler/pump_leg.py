"""Steps of a pump leg: each lift joined, its stations dressed, landed on the table in turn.

Whenever the bypass leg would not stand higher than the next lift, further bypass joints come in first.
"""

from itertools import pairwise

from app.domain.compiler import asked, tubing
from app.domain.compiler.bypass import BypassLeg
from app.domain.compiler.cables import test_cables
from app.domain.compiler.dressing import LOWERED, dress, stations_beside
from app.domain.compiler.interleaving import check_stand, stand_higher
from app.domain.compiler.writer import SheetWriter
from app.domain.crew import TestMoment
from app.domain.gear import Clamp, GearKind
from app.domain.legs import Lift, holder, lifted_together
from app.domain.operations import Operation
from app.domain.parts import Part, PartKind
from app.domain.quantities import Length
from app.domain.sheet import GearMove, Joined
from app.domain.stations import part_spans

# What is to be done beside a lift as it passes the hands, by height: a clamp, or the pothead where none is.
Works = tuple[tuple[Length, Clamp | None], ...]


def pump_leg(writer: SheetWriter, leg: BypassLeg) -> None:
    """Write the whole pump leg of a system beside its bypass leg."""
    lifts = lifted_together(leg.system)
    held_by = holder(lifts[0])
    assert held_by is not None, "checks stop a pump leg that nothing can land on the table"
    check_stand(writer, leg, 0)
    _first_lift(writer, leg, lifts[0], held_by)
    for number, (below, lift) in enumerate(pairwise(lifts), start=1):
        stand_higher(writer, leg, number)
        lifted_by = holder(lift)
        if lifted_by is None:
            _by_hand(writer, leg, below, lift)
            continue
        _by_clamp(writer, leg, below, lift, (held_by, lifted_by))
        held_by = lifted_by


def _first_lift(writer: SheetWriter, leg: BypassLeg, lift: Lift, lifted_by: Part) -> None:
    tags, on_support = _tags(lift), leg.system.support_clamp is not None
    _pick_up(writer, leg, lift, lifted_by)
    if on_support:
        writer.write(Operation.LAND_ON_SUPPORT, *tags, source=leg.place, part=_name(lift))
    works, at_hand = _works(leg, lift), writer.plan.rig.working_height
    _do(writer, leg, tuple(work for work in works if work[0] <= at_hand), at_hand)
    gauge = leg.system.part(PartKind.GAUGE)
    if leg.system.line is not None and gauge is not None:
        if not on_support:
            writer.write(Operation.LOWER_TO_GAUGE, *tags, source=leg.place)
        writer.write(
            Operation.CONNECT_LINE,
            leg.system.line.tag,
            gauge.tag,
            source=f"{leg.place}.line",
            line=leg.system.line.tag,
            part=gauge.tag,
        )
    if on_support:
        tubing.unhang(writer, leg.at_mark())
        fit_table(writer)
    _do(writer, leg, tuple(work for work in works if work[0] > at_hand), at_hand)
    _land(writer, lifted_by)


def _by_hand(writer: SheetWriter, leg: BypassLeg, below: Lift, lift: Lift) -> None:
    # The leg goes on hanging from the clamp further down.
    _bolt(writer, leg, below, lift)
    _do(writer, leg, _works(leg, lift), _at_hand(writer, leg, lift))


def _by_clamp(
    writer: SheetWriter, leg: BypassLeg, below: Lift, lift: Lift, clamps_on: tuple[Part, Part]
) -> None:
    held_by, lifted_by = clamps_on
    _pick_up(writer, leg, lift, lifted_by)
    _bolt(writer, leg, below, lift)
    writer.write(
        Operation.REMOVE_LIFTING_CLAMP,
        held_by.tag,
        gear=(GearMove(held_by.lifting_clamp, -1),),
        source="lifting_gear",
        gear_name=held_by.lifting_clamp,
        below=held_by.tag,
    )
    _do(writer, leg, _works(leg, lift), _at_hand(writer, leg, lift))
    _land(writer, lifted_by)


def _bolt(writer: SheetWriter, leg: BypassLeg, below: Lift, lift: Lift) -> None:
    base, under = lift[0], below[-1].tag
    writer.write(
        Operation.BOLT,
        *_tags(lift),
        under,
        readings=asked.torque(writer.plan, base.connection, base.tag),
        joined=Joined(under, base.tag, base.connection),
        source=_place(leg, base),
        part=_name(lift),
        below=under,
    )


def _works(leg: BypassLeg, lift: Lift) -> Works:
    # Up to the pothead its own lead is not there yet; from there up every clamp carries it.
    works: list[tuple[Length, Clamp | None]] = list(stations_beside(leg.system, lift))
    pothead = _pothead_height(leg, lift)
    if pothead is not None:
        works.append((pothead, None))
    return tuple(sorted(works, key=lambda work: (work[0].si, work[1] is not None)))


def _do(writer: SheetWriter, leg: BypassLeg, works: Works, at_hand: Length) -> None:
    # What stands higher than hands reach is brought down to them, both legs together.
    for height, clamp in works:
        if clamp is None:
            _connect_pothead(writer, leg)
        else:
            dress(writer, leg.system, leg.place, clamp, LOWERED if height > at_hand else "")


def _at_hand(writer: SheetWriter, leg: BypassLeg, lift: Lift) -> Length:
    # The base of a lift comes on at the table; hands reach a working height over it.
    return part_spans(leg.system)[lift[0].tag].base + writer.plan.rig.working_height


def _pothead_height(leg: BypassLeg, lift: Lift) -> Length | None:
    # The lead goes to the highest motor, as soon as that motor has a seal on it.
    parts = leg.system.parts
    above = next(
        (upper for lower, upper in reversed(list(pairwise(parts))) if lower.kind is PartKind.MOTOR), None
    )
    return part_spans(leg.system)[above.tag].base if above is not None and above in lift else None


def _connect_pothead(writer: SheetWriter, leg: BypassLeg) -> None:
    lead = leg.system.motor_lead
    motor = [part.tag for part in leg.system.parts if part.kind is PartKind.MOTOR][-1]
    writer.write(
        Operation.CONNECT_POTHEAD,
        lead.tag,
        motor,
        source=f"{leg.place}.motor_lead",
        cable=lead.tag,
        part=motor,
    )
    writer.cables.append(lead.tag)
    test_cables(writer, TestMoment.AFTER_POTHEAD, (lead.tag,))


def _pick_up(writer: SheetWriter, leg: BypassLeg, lift: Lift, lifted_by: Part) -> None:
    tags, source = _tags(lift), _place(leg, lifted_by)
    slings = tubing.gear_tag(writer, GearKind.SLINGS, lifted_by.max_od)
    writer.write(
        Operation.FIT_LIFTING_CLAMP,
        *tags,
        gear=(GearMove(lifted_by.lifting_clamp, 1), GearMove(slings, 1)),
        source=source,
        gear_name=lifted_by.lifting_clamp,
        part=lifted_by.tag,
    )
    writer.write(Operation.PICK_UP_PART, *tags, source=source, part=_name(lift))
    writer.write(Operation.LINE_UP, *tags, source=source, part=_name(lift))


def _land(writer: SheetWriter, lifted_by: Part) -> None:
    slings = tubing.gear_tag(writer, GearKind.SLINGS, lifted_by.max_od)
    writer.write(
        Operation.LAND_ON_TABLE,
        lifted_by.tag,
        source="lifting_gear",
        gear_name=lifted_by.lifting_clamp,
        part=lifted_by.tag,
    )
    writer.write(
        Operation.SLINGS_OFF,
        lifted_by.tag,
        gear=(GearMove(slings, -1),),
        source="lifting_gear",
        gear_name=lifted_by.lifting_clamp,
    )


def fit_table(writer: SheetWriter) -> None:
    """Write the work table and the hole cover on."""
    table = tubing.gear_tag(writer, GearKind.WORK_TABLE, Length(0.0))
    cover = tubing.gear_tag(writer, GearKind.HOLE_COVER, Length(0.0))
    writer.write(Operation.FIT_TABLE, gear=(GearMove(table, 1),), source="lifting_gear")
    writer.write(Operation.FIT_COVER, gear=(GearMove(cover, 1),), source="lifting_gear")


def remove_table(writer: SheetWriter) -> None:
    """Write the hole cover and the work table off."""
    table = tubing.gear_tag(writer, GearKind.WORK_TABLE, Length(0.0))
    cover = tubing.gear_tag(writer, GearKind.HOLE_COVER, Length(0.0))
    writer.write(Operation.REMOVE_COVER, gear=(GearMove(cover, -1),), source="lifting_gear")
    writer.write(Operation.REMOVE_TABLE, gear=(GearMove(table, -1),), source="lifting_gear")


def _tags(lift: Lift) -> tuple[str, ...]:
    # The part that bears the lifting clamp stands last: the load hangs from it.
    lifted_by = holder(lift)
    return (*(part.tag for part in lift if part is not lifted_by), *([lifted_by.tag] if lifted_by else []))


def _name(lift: Lift) -> str:
    top, *others = reversed(_tags(lift))
    return f"{top} with {' and '.join(reversed(others))}" if others else top


def _place(leg: BypassLeg, part: Part) -> str:
    return f"{leg.place}.parts[{leg.system.parts.index(part)}]"
