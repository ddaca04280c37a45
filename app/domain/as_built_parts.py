"""The as-built string of the install record: parts, clamps and tally with their depths."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from app.domain.checks.tally import TallyLine as Line
from app.domain.checks.tally import bypass_name, datum_depths, pump_leg_name, station_depths, tally
from app.domain.events.steps import Late
from app.domain.events.who import Who
from app.domain.install_record import ClampFitted, InstalledPart, TallyLine
from app.domain.parts import Joint, Part, YBlock
from app.domain.plan import PRODUCTION, Plan, System
from app.domain.quantities import Length, Quantity, in_unit, typed_apart, typed_unit
from app.domain.record_values import Amount
from app.domain.run import Attempt, Done, Run
from app.domain.sheet import ReadingKind, Step

BOTH_LEGS = "both legs"


@dataclass(frozen=True, slots=True)
class Found:
    """What was found out about the parts: tally lines and serials by tag, and the unit of depths."""

    lines: Mapping[str, Line]
    serials: Mapping[str, str]
    unit: str


def parts(run: Run, built: Plan) -> tuple[InstalledPart, ...]:
    """Return every part that hangs in the well, bottom-up by leg, with its serial and depths."""
    found = Found({line.tag: line for line in tally(built)}, part_serials(run), _unit(built))
    rows: list[InstalledPart] = []
    for system in built.systems:
        rows += _system_parts(system, found)
    production = built.production
    for part in (production.crossover, production.hanger):
        if part is not None:
            rows.append(_part("", PRODUCTION, part, found))
    return tuple(rows)


def clamps(run: Run, built: Plan) -> tuple[ClampFitted, ...]:
    """Return every clamp that was fitted, with serial, station and depth."""
    depths = {item.clamp.station: item.depth for item in station_depths(built)}
    for system in built.systems:
        depths[f"{system.datum.joint} mark"] = datum_depths(built)[system.name]
    rows = []
    for step in run.standing():
        if step.dressed is not None:
            rows.append(_clamp(step, run.done[step.number], depths, _unit(built)))
    return tuple(rows)


def tally_lines(built: Plan) -> tuple[TallyLine, ...]:
    """Return the joints in the order they were run, with cumulative length and depth."""
    unit = _unit(built)
    rows = []
    joints = {joint.tag: joint for joint in _joints(built)}
    for number, line in enumerate((line for line in tally(built) if line.tag in joints), start=1):
        joint = joints[line.tag]
        rows.append(
            TallyLine(
                number=number,
                tag=line.tag,
                string=line.string,
                serial=joint.serial,
                length=typed(joint.length, unit),
                cumulative=computed(line.cumulative, unit),
                base=computed(line.base_depth, unit),
            )
        )
    return tuple(rows)


def part_serials(run: Run) -> dict[str, str]:
    """Return by tag the serial that was read for each part, cable and block."""
    serials: dict[str, str] = {}
    for number, done in run.done.items():
        step = run.sheet.steps[number - 1]
        wanted = {item.name: item.item for item in step.readings if item.kind is ReadingKind.SERIAL}
        if step.dressed is None:
            serials |= {wanted[taken.name]: taken.value for taken in done.readings if taken.name in wanted}
    return serials


def time_text(at: datetime | None) -> str:
    """Return a time to the second with its offset, empty where nothing happened."""
    return at.isoformat(timespec="seconds") if at is not None else ""


def done_by(entry: Done | Attempt) -> str:
    """Return who did the work of an entry, and who copied it where it comes from paper."""
    return copied_by(entry.who, entry.late)


def copied_by(who: Who, late: Late | None) -> str:
    """Return who is behind an entry, or by the paper that he copied."""
    return who.titled if late is None else f"{late.by.titled}, from paper by {who.titled}"


def named(who: Who | None) -> str:
    """Return a name with its role, empty where there is nobody."""
    return who.titled if who is not None else ""


def amount(value: Quantity) -> Amount:
    """Return a quantity as it was typed, number and unit apart; empty where nobody typed it."""
    return Amount(*typed_apart(value))


def typed(value: Quantity, unit: str) -> Amount:
    """Return a quantity as it was typed, or computed in a unit where nobody typed it."""
    return amount(value) if value.typed else computed(value, unit)


def computed(value: Quantity, unit: str) -> Amount:
    """Return a computed quantity, to the hundredth of a unit."""
    # Adding zero turns a zero that came out just below into a plain one.
    return Amount(f"{round(in_unit(value, unit), 2) + 0.0:.2f}", unit)


def _system_parts(system: System, found: Found) -> Iterator[InstalledPart]:
    for part in system.parts:
        yield _part(system.name, pump_leg_name(system), part, found)
    for sub in (system.entry_guide, system.crossover, system.safety_sub):
        if sub is not None:
            yield _part(system.name, bypass_name(system), sub, found)
    # The trunk ends a block at its swivel; its base is where the pump leg is bolted on, as at its clamp.
    block = _part(system.name, BOTH_LEGS, system.y_block, found)
    base = found.lines[system.y_block.tag].top_depth + system.y_block.drop
    yield replace(block, base=computed(base, found.unit))
    yield _part(system.name, BOTH_LEGS, system.handling_sub, found)


def _part(system: str, leg: str, part: Part | YBlock, found: Found) -> InstalledPart:
    line = found.lines[part.tag]
    return InstalledPart(
        system=system,
        leg=leg,
        tag=part.tag,
        kind="Y-block" if isinstance(part, YBlock) else part.kind.value,
        description=part.description,
        serial=found.serials.get(part.tag, part.serial),
        length=typed(part.length, found.unit),
        max_od=typed(part.max_od, "in"),
        weight=typed(part.weight, "lb"),
        top=computed(line.top_depth, found.unit),
        base=computed(line.base_depth, found.unit),
    )


def _clamp(step: Step, done: Done, depths: Mapping[str, Length], unit: str) -> ClampFitted:
    assert step.dressed is not None, "only steps that dress a station come here"
    by_name = {taken.name: taken for taken in done.readings}
    torque = by_name.get("torque")
    depth = depths.get(step.dressed.station)
    return ClampFitted(
        serial=by_name["serial"].value,
        clamp_type=step.dressed.clamp_type,
        station=step.dressed.station,
        system=step.system,
        depth=computed(depth, unit) if depth is not None else Amount(),
        bolt_torque=Amount(torque.value, torque.unit) if torque else Amount(),
        by=done_by(done),
        at=time_text(done.ended_at),
    )


def _joints(plan: Plan) -> Iterator[Joint]:
    for system in plan.systems:
        yield from system.every_joint()
    yield from plan.production.tubing.joints


def _unit(plan: Plan) -> str:
    # Depths are given in the unit in which the plan gives the setting depth.
    return typed_unit(plan.well.setting_depth)
