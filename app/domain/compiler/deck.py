"""Deck work: everything that is checked, measured, serviced and made up before the floor needs it."""

from collections.abc import Iterator
from itertools import pairwise

from app.domain.compiler import asked
from app.domain.compiler.writer import BEFORE_ANYTHING, SheetWriter
from app.domain.connections import MakeUp
from app.domain.crew import StageKind, TestMoment
from app.domain.legs import lifted_together
from app.domain.operations import Operation
from app.domain.parts import OIL_FILLED, WITH_SHAFT, Part, PartKind, Tubing
from app.domain.plan import System
from app.domain.quantities import as_typed
from app.domain.sheet import Joined

ROW = 10  # joints measured on one tally line


def deck_work(writer: SheetWriter) -> None:
    """Write the deck lane; each step must be done before the floor step that needs its part."""
    writer.stage(StageKind.DECK_WORK, "Deck work")
    _gear_and_tools(writer)
    for position, system in enumerate(writer.plan.systems):
        writer.about = system.name
        _system(writer, system, f"systems[{position}]")
    writer.about = ""
    _production(writer)


def _gear_and_tools(writer: SheetWriter) -> None:
    for position, gear in enumerate(writer.plan.lifting_gear):
        writer.write(
            Operation.CHECK_GEAR,
            before=BEFORE_ANYTHING,
            source=f"lifting_gear[{position}]",
            gear_name=f"{gear.tag} ({gear.kind.value})",
            wll=as_typed(gear.wll, "t", 1),
        )
    for position, tool in enumerate(writer.plan.tools):
        writer.write(
            Operation.CHECK_TOOL,
            before=BEFORE_ANYTHING,
            source=f"tools[{position}]",
            tool=f"{tool.tag} ({tool.kind.value})",
            serial=tool.serial,
        )


def _system(writer: SheetWriter, system: System, place: str) -> None:
    _clamps(writer, system, place)
    for part in system.parts:
        _part(writer, system, part, place)
    _bolted_on_deck(writer, system, place)
    for sub in (system.entry_guide, system.safety_sub, system.crossover, system.handling_sub):
        if sub is not None:
            _inspect(writer, sub, place)
    _y_block(writer, system, place)
    if system.tubing_below is not None:
        _measure(writer, system.tubing_below, f"{place}.tubing_below")
    _measure(writer, system.bypass, f"{place}.bypass")
    _made_up_on_deck(writer, system, place)
    _cable(writer, system, place)


def _clamps(writer: SheetWriter, system: System, place: str) -> None:
    types = [clamp.type for clamp in system.clamps]
    first_used = dict.fromkeys(types, system.parts[0].tag)
    if system.support_clamp is not None:
        types.append(system.support_clamp.type)
        # It is set on the leg before any part is picked up.
        first_used[system.support_clamp.type] = system.datum.joint
    for kind, before in first_used.items():
        writer.write(
            Operation.CHECK_CLAMPS,
            kind,
            before=before,
            readings=asked.clamp_measures(writer.plan.clamp_type(kind)),
            source=f"{place}.clamps",
            kind=kind,
            count=str(types.count(kind)),
        )


def _part(writer: SheetWriter, system: System, part: Part, place: str) -> None:
    source = f"{place}.parts[{system.parts.index(part)}]"
    _inspect(writer, part, source)
    if part.kind in WITH_SHAFT:
        writer.write(Operation.CHECK_SHAFT, part.tag, source=source, part=part.tag)
    test = asked.test_at(writer.plan, TestMoment.ON_DECK)
    if part.kind is PartKind.MOTOR and test is not None:
        readings = asked.motor(test, part.tag)
        writer.write(Operation.TEST_MOTOR, part.tag, readings=readings, source=source, part=part.tag)
    if part.kind in OIL_FILLED:
        writer.write(Operation.SERVICE_OIL, part.tag, source=source, part=part.tag)


def _inspect(writer: SheetWriter, part: Part, source: str) -> None:
    writer.write(
        Operation.INSPECT_PART,
        part.tag,
        readings=asked.serial(part.tag) + asked.part_measures(part),
        source=source,
        part=part.tag,
        description=part.description,
    )


def _bolted_on_deck(writer: SheetWriter, system: System, place: str) -> None:
    for lift in lifted_together(system):
        for lower, upper in pairwise(lift):
            writer.write(
                Operation.BOLT_ON_DECK,
                upper.tag,
                lower.tag,
                readings=asked.torque(writer.plan, upper.connection, upper.tag),
                joined=Joined(lower.tag, upper.tag, upper.connection),
                source=f"{place}.parts[{system.parts.index(upper)}]",
                upper=upper.tag,
                lower=lower.tag,
            )


def _y_block(writer: SheetWriter, system: System, place: str) -> None:
    block, sub = system.y_block, system.handling_sub
    source = f"{place}.y_block"
    writer.write(
        Operation.INSPECT_PART,
        block.tag,
        readings=asked.serial(block.tag) + asked.block_measures(block),
        source=source,
        part=block.tag,
        description=block.description,
    )
    _joined_on_deck(writer, Joined(block.tag, sub.tag, block.top_connection), source, before=block.tag)


def _made_up_on_deck(writer: SheetWriter, system: System, place: str) -> None:
    for joined, before in _subs(system):
        _joined_on_deck(writer, joined, place, before=before)


def _subs(system: System) -> Iterator[tuple[Joined, str]]:
    first, last = system.bypass.joints[0].tag, system.bypass.joints[-1].tag
    if system.entry_guide is not None:
        yield Joined(system.entry_guide.tag, first, system.entry_guide.connection), first
    if system.crossover is not None:
        yield Joined(system.crossover.tag, first, system.bypass.connection), first
    if system.safety_sub is not None:
        yield Joined(last, system.safety_sub.tag, system.safety_sub.connection), last


def _joined_on_deck(writer: SheetWriter, joined: Joined, source: str, *, before: str) -> None:
    bolted = writer.plan.connection(joined.connection).method is MakeUp.BOLTS
    writer.write(
        Operation.BOLT_ON_DECK if bolted else Operation.MAKE_UP_ON_DECK,
        joined.upper,
        joined.lower,
        readings=asked.torque(writer.plan, joined.connection, joined.upper),
        joined=joined,
        source=source,
        before=before,
        upper=joined.upper,
        lower=joined.lower,
    )


def _measure(writer: SheetWriter, tubing: Tubing, place: str) -> None:
    for position, joint in enumerate(tubing.joints):
        writer.write(
            Operation.MEASURE,
            joint.tag,
            readings=asked.measured(joint.tag, joint.length),
            source=f"{place}.joints[{position}]",
            joint=joint.tag,
        )


def _cable(writer: SheetWriter, system: System, place: str) -> None:
    test, lead = asked.test_at(writer.plan, TestMoment.ON_DECK), system.motor_lead
    if test is None:
        return
    for cable in (lead.tag, lead.main_cable.tag):
        writer.write(
            Operation.TEST_ON_DECK,
            cable,
            readings=asked.serial(cable) + asked.electrical(test, cable),
            source=f"{place}.motor_lead",
            cable=cable,
        )


def _production(writer: SheetWriter) -> None:
    production = writer.plan.production
    for part in (production.crossover, production.hanger):
        if part is not None:
            _inspect(writer, part, "production")
    joints = production.tubing.joints
    for start in range(0, len(joints), ROW):
        row = joints[start : start + ROW]
        writer.write(
            Operation.MEASURE_ROW,
            *dict.fromkeys((row[0].tag, row[-1].tag)),
            readings=tuple(reading for joint in row for reading in asked.measured(joint.tag, joint.length)),
            source=f"production.tubing.joints[{start}]",
            first=row[0].tag,
            last=row[-1].tag,
        )
    if production.crossover is not None:
        joined = Joined(production.crossover.tag, joints[0].tag, production.tubing.connection)
        _joined_on_deck(writer, joined, "production.crossover", before=joints[0].tag)
