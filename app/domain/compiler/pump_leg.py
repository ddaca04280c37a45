"""Steps of a pump leg: each lift joined, its station dressed, landed on the table in turn.

The bypass leg must always stand higher than the next lift: further bypass joints are added in
between, as the lengths demand.
"""

from itertools import pairwise

from app.domain.compiler import asked, tubing
from app.domain.compiler.bypass import BypassLeg, add_beside_pump_leg
from app.domain.compiler.cables import carried, test_cables
from app.domain.compiler.writer import SheetWriter
from app.domain.crew import TestMoment
from app.domain.gear import GearKind
from app.domain.legs import lifted_together
from app.domain.operations import Operation
from app.domain.parts import LegEnd, Part, PartKind
from app.domain.problems import stop
from app.domain.quantities import Length, show, total
from app.domain.sheet import Dressed, GearMove, Joined

Lift = tuple[Part, ...]


def pump_leg(writer: SheetWriter, leg: BypassLeg) -> None:
    """Write the whole pump leg of a system beside its bypass leg."""
    lifts = lifted_together(leg.system)
    _first_lift(writer, leg, lifts[0])
    held_by = lifts[0][-1]
    for below, lift in pairwise(lifts):
        joined_height = _height_over_datum(leg, below)
        stand_higher(writer, leg, joined_height, lift)
        _further_lift(writer, leg, below, lift, held_by)
        # What is bolted on by hand leaves the leg hanging from the clamp below it.
        held_by = lift[-1] if lift[-1].lifting_clamp else held_by


def stand_higher(writer: SheetWriter, leg: BypassLeg, pump_height: Length, lift: Lift) -> None:
    """Write bypass joints until the leg stands higher than the next lift and a working height.

    `pump_height` is the pump leg's top over the datum [m]; it stands at the table.
    """
    needed = total(Length, (part.length for part in lift)) + writer.plan.rig.working_height
    while not leg.is_whole and (leg.above_datum() - pump_height).si < needed.si:
        add_beside_pump_leg(writer, leg)
    stick_up = leg.above_datum() - pump_height
    check_reach(writer, leg, stick_up, lift[-1].tag)


def check_reach(writer: SheetWriter, leg: BypassLeg, stick_up: Length, beside: str) -> None:
    """Note a problem where the bypass leg stands higher than the elevators reach [m]."""
    reach = writer.plan.rig.reach
    if stick_up.si > reach.si:
        writer.problems.append(
            stop(
                "bypass-leg-beyond-reach",
                leg.place,
                f"Beside {beside} the bypass leg stands {show(stick_up, 'm')} over the table; the elevators "
                f"reach {show(reach, 'm')}. Use shorter bypass joints or set the datum mark higher.",
            )
        )


def dress_part(writer: SheetWriter, leg: BypassLeg, tag: str) -> None:
    """Write the clamps that the plan wants at the base and the head of a part or joint."""
    for end in (LegEnd.BASE, LegEnd.HEAD):
        dress_stations(writer, leg, tag, end)


def dress_stations(writer: SheetWriter, leg: BypassLeg, tag: str, end: LegEnd) -> None:
    """Write the clamps that the plan wants at one end of a part or joint."""
    for position, clamp in enumerate(leg.system.clamps):
        if (clamp.at, clamp.end) == (tag, end):
            kind = writer.plan.clamp_type(clamp.type)
            station = f"{clamp.at} {clamp.end}"
            writer.write(
                Operation.DRESS_STATION,
                tag,
                readings=asked.serial(clamp.type) + asked.torque(writer.plan, kind.connection, station),
                dressed=Dressed(station, clamp.type),
                source=f"{leg.place}.clamps[{position}]",
                kind=clamp.type,
                station=station,
                dress=carried(writer, leg.system),
            )


def _first_lift(writer: SheetWriter, leg: BypassLeg, lift: Lift) -> None:
    tags, name = _tags(lift), _name(lift)
    _pick_up(writer, leg, lift)
    if leg.system.support_clamp is not None:
        writer.write(Operation.LAND_ON_SUPPORT, *tags, source=leg.place, part=name)
    _dress_lift(writer, leg, lift)
    gauge = leg.system.part(PartKind.GAUGE)
    if leg.system.line is not None and gauge is not None:
        if leg.system.support_clamp is None:
            writer.write(Operation.LOWER_TO_GAUGE, *tags, source=leg.place)
        writer.write(
            Operation.CONNECT_LINE,
            leg.system.line.tag,
            gauge.tag,
            source=f"{leg.place}.line",
            line=leg.system.line.tag,
            part=gauge.tag,
        )
    if leg.system.support_clamp is not None:
        tubing.unhang(writer, leg.at_mark())
        fit_table(writer)
    _land(writer, lift)


def _further_lift(writer: SheetWriter, leg: BypassLeg, below: Lift, lift: Lift, held_by: Part) -> None:
    top, base = lift[-1], lift[0]
    if top.lifting_clamp:
        _pick_up(writer, leg, lift)
    joined = Joined(below[-1].tag, base.tag, base.connection)
    writer.write(
        Operation.BOLT,
        *_tags(lift),
        below[-1].tag,
        readings=asked.torque(writer.plan, base.connection, base.tag),
        joined=joined,
        source=_place(leg, base),
        part=_name(lift),
        below=below[-1].tag,
    )
    if top.lifting_clamp:
        _free_clamp(writer, held_by)
    _pothead(writer, leg, below, lift)
    _dress_lift(writer, leg, lift)
    if top.lifting_clamp:
        _land(writer, lift)


def _dress_lift(writer: SheetWriter, leg: BypassLeg, lift: Lift) -> None:
    # The lift's own stations, and those on bypass joints that it now stands beside.
    for part in lift:
        dress_part(writer, leg, part.tag)
    below = _height_over_datum(leg, lift) - total(Length, (part.length for part in lift))
    for tag, end, height in leg.joint_ends():
        if below.si < height.si <= _height_over_datum(leg, lift).si:
            dress_stations(writer, leg, tag, end)


def _pick_up(writer: SheetWriter, leg: BypassLeg, lift: Lift) -> None:
    top, tags = lift[-1], _tags(lift)
    slings = tubing.gear_tag(writer, GearKind.SLINGS, top.max_od)
    writer.write(
        Operation.FIT_LIFTING_CLAMP,
        *tags,
        gear=(GearMove(top.lifting_clamp, 1), GearMove(slings, 1)),
        source=_place(leg, top),
        gear_name=top.lifting_clamp,
        part=top.tag,
    )
    writer.write(Operation.PICK_UP_PART, *tags, source=_place(leg, top), part=_name(lift))
    writer.write(Operation.LINE_UP, *tags, source=_place(leg, top), part=_name(lift))


def _pothead(writer: SheetWriter, leg: BypassLeg, below: Lift, lift: Lift) -> None:
    # The lead goes to the highest motor, as soon as that motor has a seal on it.
    motors = [part.tag for part in leg.system.parts if part.kind is PartKind.MOTOR]
    if not motors or motors[-1] not in _tags(below) or motors[-1] in _tags(lift):
        return
    lead = leg.system.motor_lead
    writer.write(
        Operation.CONNECT_POTHEAD,
        lead.tag,
        motors[-1],
        source=f"{leg.place}.motor_lead",
        cable=lead.tag,
        part=motors[-1],
    )
    writer.cables.append(lead.tag)
    test_cables(writer, TestMoment.AFTER_POTHEAD, (lead.tag,))


def _free_clamp(writer: SheetWriter, below: Part) -> None:
    writer.write(
        Operation.REMOVE_LIFTING_CLAMP,
        below.tag,
        gear=(GearMove(below.lifting_clamp, -1),),
        source="lifting_gear",
        gear_name=below.lifting_clamp,
        below=below.tag,
    )


def _land(writer: SheetWriter, lift: Lift) -> None:
    top = lift[-1]
    slings = tubing.gear_tag(writer, GearKind.SLINGS, top.max_od)
    writer.write(
        Operation.LAND_ON_TABLE, top.tag, source="lifting_gear", gear_name=top.lifting_clamp, part=top.tag
    )
    writer.write(
        Operation.SLINGS_OFF,
        top.tag,
        gear=(GearMove(slings, -1),),
        source="lifting_gear",
        gear_name=top.lifting_clamp,
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


def _height_over_datum(leg: BypassLeg, top_lift: Lift) -> Length:
    height, above = Length(0.0), False
    for part in leg.system.parts:
        above = above or part.kind is PartKind.MOTOR
        if above:
            height = height + part.length
        if part.tag == top_lift[-1].tag:
            break
    return height


def _tags(lift: Lift) -> tuple[str, ...]:
    return tuple(part.tag for part in lift)


def _name(lift: Lift) -> str:
    return lift[-1].tag if len(lift) == 1 else f"{lift[-1].tag} with {' and '.join(_tags(lift[:-1]))}"


def _place(leg: BypassLeg, part: Part) -> str:
    return f"{leg.place}.parts[{leg.system.parts.index(part)}]"
