"""Steps of a Y closure: the block on the pump leg, its swivel on the bypass leg, table off."""

from app.domain.compiler import asked, tubing
from app.domain.compiler.bypass import BypassLeg, fit_safety_clamp, remove_safety_clamp
from app.domain.compiler.cables import named, test_cables
from app.domain.compiler.dressing import dress_head
from app.domain.compiler.pump_leg import remove_table
from app.domain.compiler.tubing import Hung
from app.domain.compiler.writer import SheetWriter
from app.domain.crew import TestMoment
from app.domain.legs import holder
from app.domain.operations import Operation
from app.domain.parts import PartKind, Tubing
from app.domain.quantities import as_typed, typed_unit
from app.domain.sheet import GearMove, Joined, ReadingKind, ReadingWanted

GRUB_SCREWS = "swivel grub screws"


def close_legs(writer: SheetWriter, leg: BypassLeg, run_above: Tubing, *, line_goes_on: bool) -> Hung:
    """Write the closure of a system and return what hangs in the slips afterwards.

    The handling sub is gripped in the size of the run that will stand on it.
    """
    _ready_bypass_leg(writer, leg)
    _bring_y_block(writer, leg, run_above)
    _join_swivel(writer, leg)
    remove_table(writer)
    _terminate(writer, leg)
    handling_sub = leg.system.handling_sub
    if line_goes_on:
        writer.write(Operation.PAINT_LINE, handling_sub.tag, source=leg.place, part=handling_sub.tag)
    test_cables(writer, TestMoment.SYSTEM_COMPLETE, tuple(writer.cables))
    writer.write(Operation.LOWER_STRING, handling_sub.tag, source=leg.place, joint=handling_sub.tag)
    hung = Hung(handling_sub.tag, handling_sub.tag, run_above.od, flush=False)
    tubing.hang(writer, hung)
    return hung


def _ready_bypass_leg(writer: SheetWriter, leg: BypassLeg) -> None:
    top = leg.top()
    writer.write(Operation.LOWER_TO_CLOSE, top.tag, source=leg.place, joint=top.tag)
    fit_safety_clamp(writer, leg)
    tubing.release_elevators(writer, top)


def _bring_y_block(writer: SheetWriter, leg: BypassLeg, run_above: Tubing) -> None:
    block, sub = leg.system.y_block, leg.system.handling_sub
    head = leg.system.parts[-1]
    place = f"{leg.place}.y_block"
    tubing.rig_for(writer, run_above.od)
    writer.write(Operation.PICK_UP_Y, block.tag, sub.tag, source=place, part=block.tag)
    writer.write(Operation.TURN_Y, block.tag, source=place, part=block.tag)
    writer.write(Operation.MATE_HEAD, block.tag, head.tag, source=place, part=block.tag, below=head.tag)
    writer.write(
        Operation.BOLT_HEAD,
        block.tag,
        head.tag,
        readings=asked.torque(writer.plan, block.head_connection, block.tag),
        joined=Joined(head.tag, block.tag, block.head_connection),
        source=place,
        part=block.tag,
        below=head.tag,
    )
    # What was bolted on by hand above the last clamp hangs with the part under it.
    held = holder(leg.system.parts)
    assert held is not None, "checks stop a pump leg that nothing can land on the table"
    writer.write(
        Operation.FREE_PUMP_CLAMP,
        held.tag,
        gear=(GearMove(held.lifting_clamp, -1),),
        source=place,
        gear_name=held.lifting_clamp,
        below=held.tag,
    )


def _join_swivel(writer: SheetWriter, leg: BypassLeg) -> None:
    block, top = leg.system.y_block, leg.top()
    place = f"{leg.place}.y_block"
    writer.write(Operation.LOWER_Y, block.tag, source=place, part=block.tag, below=top.tag)
    writer.write(Operation.FREE_SWIVEL, block.tag, gear=(GearMove(GRUB_SCREWS, 1),), source=place)
    extension = ReadingWanted(
        name="swivel extension",
        kind=ReadingKind.LENGTH,
        item=block.tag,
        unit=typed_unit(block.stroke),
        target=block.stroke * 0.5,
        low=block.margin,
        high=block.stroke - block.margin,
    )
    writer.write(
        Operation.MEET_SWIVEL, block.tag, top.tag, readings=(extension,), source=place, below=top.tag
    )
    tubing.torque(writer, Joined(top.tag, block.tag, block.swivel_connection), place)
    writer.write(Operation.RUN_LOCK_RING, block.tag, source=place)
    writer.write(Operation.LOCK_SWIVEL, block.tag, gear=(GearMove(GRUB_SCREWS, -1),), source=place)
    remove_safety_clamp(writer, leg, top)


def _terminate(writer: SheetWriter, leg: BypassLeg) -> None:
    system = leg.system
    block, line, sub = system.y_block, system.line, system.part(PartKind.DISCHARGE_SUB)
    if line is not None and sub is not None:
        writer.write(
            Operation.TERMINATE_LINE,
            line.tag,
            block.tag,
            source=f"{leg.place}.line",
            line=line.tag,
            part=sub.tag,
        )
        writer.write(
            Operation.TEST_LINE,
            line.tag,
            readings=asked.line_test(line.test, line.tag),
            source=f"{leg.place}.line.test",
            line=line.tag,
            pressure=as_typed(line.test.pressure, "psi", 0),
            hold=as_typed(line.test.hold, "min", 0),
        )
    dress_head(writer, system, leg.place)
    writer.write(
        Operation.SEAT_CABLES,
        block.tag,
        *writer.cables,
        source=f"{leg.place}.y_block",
        cables=named(writer.cables),
        part=block.tag,
    )
