"""What steps ask for: the readings of a connection, a clamp, a joint, a cable and a line."""

from dataclasses import replace

from app.domain.checks.space_out import length_tolerance
from app.domain.connections import TOOL_FOR, ToolKind
from app.domain.crew import ElectricalTest, LineTest, TestMoment
from app.domain.gear import ClampType
from app.domain.parts import BlockMeasure, Part, PartMeasure, YBlock
from app.domain.plan import Plan, System
from app.domain.quantities import NO_LENGTH, Length, Mass, Quantity, Ratio, Resistance, typed_unit
from app.domain.sheet import AFTER_TEN, INSULATION, TEMPERATURE, ReadingKind, ReadingWanted

# A joint further off its planned length than this is not the joint that was planned. Common practice.
LENGTH_TOLERANCE = Length(0.30)
# Beyond these it is another part, or the plan is wrong. Common practice.
OD_TOLERANCE = Length(0.003)
WEIGHT_TOLERANCE = Ratio(0.10, "10 %")
Measure = PartMeasure | BlockMeasure
KIND_OF: dict[str, ReadingKind] = {
    BlockMeasure.MAX_OD: ReadingKind.MAX_OD,
    BlockMeasure.WEIGHT: ReadingKind.WEIGHT,
    BlockMeasure.SWIVEL_LENGTH: ReadingKind.SWIVEL_LENGTH,
    BlockMeasure.DROP: ReadingKind.DROP,
}
MAY_BE_OFF: dict[ReadingKind, Length | Ratio] = {
    ReadingKind.MAX_OD: OD_TOLERANCE,
    ReadingKind.WEIGHT: WEIGHT_TOLERANCE,
    ReadingKind.SWIVEL_LENGTH: LENGTH_TOLERANCE,
    ReadingKind.DROP: LENGTH_TOLERANCE,
}
TOOL_OF = {ReadingKind.SWIVEL_LENGTH: ToolKind.TAPE, ReadingKind.DROP: ToolKind.TAPE}
# The weight indicator is read once every so many joints where the plan does not say. Common practice.
WEIGHT_EVERY = 10
PHASES = ("A-B", "B-C", "C-A")


def torque(plan: Plan, connection: str, item: str) -> tuple[ReadingWanted, ...]:
    """Return the torque reading of a connection type, with its window."""
    kind = plan.connection(connection)
    return (
        ReadingWanted(
            name="torque",
            kind=ReadingKind.TORQUE,
            item=item,
            unit=typed_unit(kind.target),
            target=kind.target,
            low=kind.low,
            high=kind.high,
            tool=TOOL_FOR[kind.method],
        ),
    )


def dope(plan: Plan, connection: str) -> str:
    """Return what the thread of a connection type is doped with."""
    return plan.connection(connection).dope or "the maker's dope"


def serial(item: str) -> tuple[ReadingWanted, ...]:
    """Return the serial reading of a part or of a clamp of a type."""
    return (ReadingWanted(name="serial", kind=ReadingKind.SERIAL, item=item),)


def measured(item: str, planned: Length) -> tuple[ReadingWanted, ...]:
    """Return the length reading of a joint or part [m], near its planned length."""
    return (
        ReadingWanted(
            name=f"length {item}",
            kind=ReadingKind.LENGTH,
            item=item,
            unit=typed_unit(planned),
            target=planned,
            low=planned - LENGTH_TOLERANCE,
            high=planned + LENGTH_TOLERANCE,
            tool=ToolKind.TAPE,
        ),
    )


def mark(system: System) -> tuple[ReadingWanted, ...]:
    """Return the reading of how far below the top of its joint a mark was set [m].

    A mark is set anew until it is as near to the plan as a length is measured.
    """
    joint, planned, off = system.datum.joint, system.datum.below_top, length_tolerance(system)
    return (
        ReadingWanted(
            name=f"mark below the top of {joint}",
            kind=ReadingKind.MARK,
            item=joint,
            unit=typed_unit(planned),
            target=planned,
            low=max(planned - off, NO_LENGTH),
            high=planned + off,
            tool=ToolKind.TAPE,
        ),
    )


def part_measures(part: Part) -> tuple[ReadingWanted, ...]:
    """Return the readings of a part on deck: its length, and what the plan wants measured besides."""
    return measured(part.tag, part.length) + _also_measured(part.tag, part)


def block_measures(block: YBlock) -> tuple[ReadingWanted, ...]:
    """Return the readings of a Y-block on deck: its length, and what the plan wants measured besides."""
    sizes = block.sizes()
    also = (_measure(block.tag, what, sizes[what]) for what in dict.fromkeys(block.also_measured))
    return (*measured(block.tag, block.length), *also)


def clamp_measures(kind: ClampType) -> tuple[ReadingWanted, ...]:
    """Return what the plan wants measured of one clamp of a type when they are counted."""
    return _also_measured(kind.name, kind)


def hook_load(plan: Plan, joint: str, joints_in: int) -> tuple[ReadingWanted, ...]:
    """Return the reading of the weight indicator, where it is due with so many joints of a run in."""
    every = plan.weight_indicator.every if plan.weight_indicator is not None else WEIGHT_EVERY
    if every == 0 or joints_in % every != 0:
        return ()
    unit = typed_unit(plan.rig.travelling_weight)
    return (ReadingWanted(name="hook load", kind=ReadingKind.HOOK_LOAD, item=joint, unit=unit),)


def electrical(test: ElectricalTest, cable: str) -> tuple[ReadingWanted, ...]:
    """Return the readings of one test of a cable: three phase pairs, insulation, temperature."""
    return _phases(test, cable, test.resistance_low, test.resistance_high) + _to_ground(test, cable)


def motor(test: ElectricalTest, tag: str) -> tuple[ReadingWanted, ...]:
    """Return the readings of a motor on deck; its resistances are recorded, the plan limits cables."""
    return _phases(test, tag, None, None) + _to_ground(test, tag)


def line_test(test: LineTest, line: str) -> tuple[ReadingWanted, ...]:
    """Return the readings of a line's pressure test: start, end, and how long it was held."""
    unit = typed_unit(test.pressure)
    return (
        ReadingWanted(
            name="start pressure",
            kind=ReadingKind.PRESSURE,
            item=line,
            unit=unit,
            target=test.pressure,
            low=test.pressure,
            high=test.most,
            tool=ToolKind.PRESSURE_GAUGE,
        ),
        ReadingWanted(
            name="end pressure",
            kind=ReadingKind.PRESSURE,
            item=line,
            unit=unit,
            low=test.least_end,
            high=test.most,
            tool=ToolKind.PRESSURE_GAUGE,
        ),
        ReadingWanted(
            name="hold time",
            kind=ReadingKind.HOLD_TIME,
            item=line,
            unit=typed_unit(test.hold),
            target=test.hold,
            low=test.hold,
        ),
        *(_warmth(line) if test.pressure_per_degree is not None else ()),
    )


def test_at(plan: Plan, moment: TestMoment) -> ElectricalTest | None:
    """Return what the plan demands of a cable at a moment, or none."""
    return next((test for test in plan.electrical_tests if test.moment is moment), None)


def _also_measured(item: str, of: Part | ClampType) -> tuple[ReadingWanted, ...]:
    sizes: dict[PartMeasure, Length | Mass] = {
        PartMeasure.MAX_OD: of.max_od,
        PartMeasure.WEIGHT: of.weight,
    }
    return tuple(_measure(item, what, sizes[what]) for what in dict.fromkeys(of.also_measured))


def _measure(item: str, what: Measure, planned: Quantity) -> ReadingWanted:
    kind = KIND_OF[what]
    may_be = MAY_BE_OFF[kind]
    off = planned.si * may_be.si if isinstance(may_be, Ratio) else may_be.si
    return ReadingWanted(
        name=f"{what} {item}",
        kind=kind,
        item=item,
        unit=typed_unit(planned),
        target=planned,
        low=type(planned)(planned.si - off),
        high=type(planned)(planned.si + off),
        tool=TOOL_OF.get(kind),
    )


def _warmth(line: str) -> tuple[ReadingWanted, ...]:
    names = ("start temperature", "end temperature")
    return tuple(ReadingWanted(name, ReadingKind.TEMPERATURE, line, "degC") for name in names)


def _phases(
    test: ElectricalTest, item: str, low: Resistance | None, high: Resistance | None
) -> tuple[ReadingWanted, ...]:
    return tuple(
        ReadingWanted(
            name=f"resistance {pair}",
            kind=ReadingKind.RESISTANCE,
            item=item,
            unit=typed_unit(test.resistance_low),
            low=low,
            high=high,
            tool=ToolKind.RESISTANCE_BRIDGE,
        )
        for pair in PHASES
    )


def _to_ground(test: ElectricalTest, item: str) -> tuple[ReadingWanted, ...]:
    insulation = ReadingWanted(
        name=INSULATION,
        kind=ReadingKind.INSULATION,
        item=item,
        unit=typed_unit(test.insulation_low),
        low=test.insulation_low,
        tool=ToolKind.INSULATION_TESTER,
    )
    again = replace(insulation, name=AFTER_TEN, low=None)
    # An insulation reading without its temperature cannot be compared with the next.
    temperature = ReadingWanted(TEMPERATURE, ReadingKind.TEMPERATURE, item, "degC")
    return (insulation, *((again,) if test.again_after_ten else ()), temperature)
