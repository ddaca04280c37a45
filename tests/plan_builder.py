"""Builds whole, legal plans from a few choices, so that a test says only what matters to it.

All sizes and weights are invented; they fit 9 5/8 in casing with flush bypass legs and 13 3/8 in casing
with coupled ones. Lengths are in feet.
"""

from dataclasses import dataclass
from itertools import count, cycle

from app.domain.crew import (
    ALONG,
    ALWAYS_HELD,
    DRILLER,
    FLOOR_CREW,
    ElectricalTest,
    HoldPoint,
    Limits,
    LineTest,
    Person,
    TestMoment,
)
from app.domain.gear import Clamp, LoadOutItem
from app.domain.parts import Joint, LegEnd, Part, PartKind, Tubing, YBlock
from app.domain.plan import (
    PLAN_FORMAT,
    PRODUCTION,
    DischargeLine,
    Job,
    MainCable,
    Mark,
    MotorLead,
    Plan,
    Production,
    SupportClamp,
    System,
)
from app.domain.quantities import (
    Angle,
    Density,
    Duration,
    Length,
    LinearMass,
    Pressure,
    Ratio,
    Resistance,
    Temperature,
    length,
    mass,
    read_quantity,
)
from app.domain.well import Casing, Rig, SurveyPoint, Well
from tests.plan_stock import CLAMP_TYPES, CONNECTIONS, GEAR, PARTS_FT, PARTS_IN, PARTS_LB, SIGNERS, TOOLS

STROKE_FT, MARGIN_FT, DROP_FT, SWIVEL_FT = 1.0, 0.1, 1.2, 3.6
JOINT_FT, UPSET_LOSS_FT, COUPLED_LOSS_FT = 31.0, 0.198, 0.18
FOOT_M = 0.3048


@dataclass(frozen=True, slots=True)
class SystemChoice:
    """What one system is like; `swivel_share` is where in its free stroke the swivel will stand."""

    motors: int = 1
    seals: int = 2
    pumps: int = 2
    bolt_on_intake: bool = True
    gauge: bool = True
    safety_sub: bool = True
    coupled: bool = False
    pup_ft: float = 0.0
    joints_ft: tuple[float, ...] = (31.4, 31.38, 30.9)
    swivel_share: float = 0.5
    joints_below: int = 3


@dataclass(frozen=True, slots=True)
class PlanChoice:
    """What a plan is like: its systems bottom to top and its production joints."""

    systems: tuple[SystemChoice, ...] = (SystemChoice(), SystemChoice())
    production_joints: int = 12


def build_plan(choice: PlanChoice | None = None) -> Plan:
    """Return a plan of those choices in which no check finds a stop."""
    choice = choice or PlanChoice()
    names = [f"system {number}" for number in range(1, len(choice.systems) + 1)]
    runs_above = [*(f"tubing below {name}" for name in names[1:]), PRODUCTION]
    systems = tuple(
        _system(number, made, run_above)
        for number, (made, run_above) in enumerate(zip(choice.systems, runs_above, strict=True), start=1)
    )
    production = _production(choice.production_joints)
    is_coupled = any(made.coupled for made in choice.systems)
    setting_depth = length(round(_string_ft(systems, choice, production), 2), "ft")
    return Plan(
        format=PLAN_FORMAT,
        job=Job("Invented run", "T-1", "Nobody", invented=True),
        rig=Rig("Test rig", length(4, "ft"), length(200, "ft"), mass(12000, "lb")),
        well=_well(setting_depth, wide=is_coupled),
        connection_types=CONNECTIONS,
        clamp_types=CLAMP_TYPES,
        tools=TOOLS,
        lifting_gear=GEAR,
        crew=tuple(Person(f"{role} A".title(), role) for role in (*SIGNERS, DRILLER, FLOOR_CREW)),
        hold_points=tuple(
            HoldPoint(stage, f"Talk before {stage}", ("work ahead", "hazards"), SIGNERS)
            for stage in ALWAYS_HELD
        ),
        electrical_tests=tuple(_electrical_test(moment) for moment in TestMoment),
        limits=Limits(read_quantity("3 %", Ratio)),
        systems=systems,
        production=production,
        load_out=_load_out(systems),
        spares=(_part("SPARE-SEAL", PartKind.SEAL),),
    )


def _system(number: int, made: SystemChoice, run_above: str) -> System:
    name = f"system {number}"
    parts = _pump_leg(number, made)
    bypass, datum = _bypass_leg(number, made, parts)
    is_upper = number > 1
    return System(
        name=name,
        bypass=bypass,
        datum=datum,
        parts=parts,
        y_block=_y_block(number),
        handling_sub=_part(f"S{number}-HANDLING", PartKind.HANDLING_SUB, connection="flush"),
        motor_lead=_motor_lead(number, run_above),
        clamps=_clamps(number, parts),
        line=_line(number) if made.gauge else None,
        entry_guide=None if is_upper else _part(f"S{number}-GUIDE", PartKind.ENTRY_GUIDE, connection="flush"),
        safety_sub=_part(f"S{number}-SAFETY", PartKind.SAFETY_SUB, connection="flush")
        if made.safety_sub
        else None,
        tubing_below=_intermediate(number, made.joints_below) if is_upper else None,
        crossover=_part(f"S{number}-CROSSOVER", PartKind.CROSSOVER, connection="upset") if is_upper else None,
        support_clamp=SupportClamp("support clamp") if is_upper else None,
    )


def _pump_leg(number: int, made: SystemChoice) -> tuple[Part, ...]:
    kinds = (
        *([PartKind.GAUGE] if made.gauge else []),
        *[PartKind.MOTOR] * made.motors,
        *[PartKind.SEAL] * made.seals,
        PartKind.INTAKE,
        *[PartKind.PUMP] * made.pumps,
        PartKind.DISCHARGE_SUB,
    )
    numbers = {kind: count(1) for kind in PartKind}
    return tuple(
        _part(
            f"S{number}-{kind.replace(' ', '-')}-{next(numbers[kind])}".upper(),
            kind,
            connection="flange" if position > 0 else "",
            lifting_clamp="" if kind in (PartKind.GAUGE, PartKind.INTAKE) else "LIFTING-CLAMP",
            # A bolt-on intake goes up with the pump over it; a separate one is bolted where it is.
            made_up_on_deck=kind is PartKind.INTAKE and made.bolt_on_intake,
        )
        for position, kind in enumerate(kinds)
    )


def _bypass_leg(number: int, made: SystemChoice, parts: tuple[Part, ...]) -> tuple[Tubing, Mark]:
    loss_ft = COUPLED_LOSS_FT if made.coupled else 0.0
    extension_ft = MARGIN_FT + made.swivel_share * (STROKE_FT - 2 * MARGIN_FT)
    height_ft = sum(PARTS_FT[part.kind] for part in parts if part.kind is not PartKind.GAUGE) + DROP_FT
    # What joints must bridge between the mark and the safety sub or swivel.
    left_ft = (
        height_ft - extension_ft - SWIVEL_FT - (PARTS_FT[PartKind.SAFETY_SUB] if made.safety_sub else 0.0)
    )
    top_down_ft = [made.pup_ft] if made.pup_ft else []
    lengths = cycle(made.joints_ft)
    while left_ft > sum(top_down_ft) - loss_ft * len(top_down_ft):
        top_down_ft.append(next(lengths))
    for joint_ft in top_down_ft[:-1]:
        left_ft -= joint_ft - loss_ft
    joints = tuple(
        Joint(f"S{number}-B{place}", _feet(joint_ft), f"SN-S{number}-B{place}", pup=joint_ft == made.pup_ft)
        for place, joint_ft in enumerate(reversed(top_down_ft), start=1)
    )
    bypass = Tubing(
        name=f"system {number} bypass",
        od=length(2.875, "in"),
        id=length(2.441, "in"),
        weight=read_quantity("6.4 lb/ft", LinearMass),
        connection="flush",
        joints=joints,
        coupling_od=length(3.668, "in") if made.coupled else None,
        make_up_loss=_feet(loss_ft),
    )
    return bypass, Mark(joints[0].tag, _feet(left_ft))


def _intermediate(number: int, joints: int) -> Tubing:
    return _upset(f"S{number}-I", f"tubing below system {number}", joints)


def _production(joints: int) -> Production:
    hanger = _part("HANGER", PartKind.HANGER, connection="upset")
    crossover = _part("P-CROSSOVER", PartKind.CROSSOVER, connection="upset")
    return Production(_upset("P", PRODUCTION, joints), hanger, "two-way penetrator", crossover)


def _upset(tag: str, name: str, joints: int) -> Tubing:
    return Tubing(
        name=name,
        od=length(3.5, "in"),
        id=length(2.992, "in"),
        weight=read_quantity("9.3 lb/ft", LinearMass),
        connection="upset",
        joints=tuple(
            Joint(f"{tag}{place}", _feet(JOINT_FT), f"SN-{tag}{place}") for place in range(1, joints + 1)
        ),
        drift=length(2.867, "in"),
        coupling_od=length(4.5, "in"),
        make_up_loss=_feet(UPSET_LOSS_FT),
        protector="protector",
    )


def _y_block(number: int) -> YBlock:
    return YBlock(
        tag=f"S{number}-Y",
        description="Y-block with telescopic swivel",
        length=_feet(3.0),
        drop=_feet(DROP_FT),
        swivel_length=_feet(SWIVEL_FT),
        stroke=_feet(STROKE_FT),
        margin=_feet(MARGIN_FT),
        max_od=length(8.25, "in"),
        weight=mass(520, "lb"),
        head_connection="flange",
        swivel_connection="flush",
        top_connection="flush",
        serial=f"SN-S{number}-Y",
        swivel_od=length(3.0, "in"),
    )


def _motor_lead(number: int, run_above: str) -> MotorLead:
    cable = MainCable(
        tag=f"S{number}-CABLE",
        description="main cable",
        length=length(9000, "ft"),
        splice_in=run_above,
        splice_after=1,
        serial=f"SN-S{number}-CABLE",
        weight=read_quantity("1.1 lb/ft", LinearMass),
        width=length(1.35, "in"),
        thickness=length(0.6, "in"),
    )
    return MotorLead(
        f"S{number}-LEAD",
        "flat cable",
        length(400, "ft"),
        cable,
        f"SN-S{number}-LEAD",
        read_quantity("1.1 lb/ft", LinearMass),
        length(1.02, "in"),
        length(0.37, "in"),
    )


def _line(number: int) -> DischargeLine:
    test = LineTest(
        read_quantity("5000 psi", Pressure), read_quantity("10 min", Duration), read_quantity("2 %", Ratio)
    )
    return DischargeLine(f"S{number}-LINE", "discharge pressure line", test, length(0.375, "in"))


def _clamps(number: int, parts: tuple[Part, ...]) -> tuple[Clamp, ...]:
    clamped = (PartKind.MOTOR, PartKind.SEAL, PartKind.PUMP)
    stations = [Clamp(part.tag, LegEnd.BASE, "bypass clamp") for part in parts if part.kind in clamped]
    return (*stations, Clamp(f"S{number}-Y", LegEnd.BASE, "bypass clamp"))


def _part(
    tag: str, kind: PartKind, *, connection: str = "", lifting_clamp: str = "", made_up_on_deck: bool = False
) -> Part:
    return Part(
        tag=tag,
        kind=kind,
        description=f"invented {kind}",
        length=_feet(PARTS_FT[kind]),
        max_od=length(PARTS_IN[kind], "in"),
        weight=mass(PARTS_LB[kind], "lb"),
        connection=connection,
        serial=f"SN-{tag}",
        lifting_clamp=lifting_clamp,
        made_up_on_deck=made_up_on_deck,
    )


def _well(setting_depth: Length, *, wide: bool) -> Well:
    od, inside, drift = (
        ("13.375 in", "12.415 in", "12.259 in") if wide else ("9.625 in", "8.681 in", "8.525 in")
    )
    casing = Casing(
        name=f"{od} casing",
        top=length(0, "ft"),
        base=length(20000, "ft"),
        od=read_quantity(od, Length),
        weight=read_quantity("68 lb/ft" if wide else "47 lb/ft", LinearMass),
        id=read_quantity(inside, Length),
        drift=read_quantity(drift, Length),
    )
    return Well(
        name="Test well",
        field="Test field",
        setting_depth=setting_depth,
        fluid="brine",
        fluid_density=read_quantity("8.6 lb/gal", Density),
        fluid_level=length(20, "ft"),
        surface_temperature=read_quantity("60 degF", Temperature),
        setting_temperature=read_quantity("110 degF", Temperature),
        casing=(casing,),
        survey=tuple(SurveyPoint(_feet(depth_ft), Angle(0.0), Angle(0.0)) for depth_ft in (0.0, 20000.0)),
    )


def _electrical_test(moment: TestMoment) -> ElectricalTest:
    return ElectricalTest(
        moment=moment,
        resistance_low=read_quantity("1 ohm", Resistance),
        resistance_high=read_quantity("5 ohm", Resistance),
        insulation_low=read_quantity("500 Mohm", Resistance),
        every=10 if moment in ALONG else 0,
    )


def _load_out(systems: tuple[System, ...]) -> tuple[LoadOutItem, ...]:
    wanted = sum(len(system.clamps) for system in systems)
    clamps = tuple(LoadOutItem(f"BC-{number:03}", "bypass clamp") for number in range(wanted + 2))
    supports = tuple(LoadOutItem(f"SC-{number:03}", "support clamp") for number in range(len(systems)))
    return (*clamps, *supports)


def _string_ft(systems: tuple[System, ...], choice: PlanChoice, production: Production) -> float:
    upset_ft = (JOINT_FT - UPSET_LOSS_FT) * (
        choice.production_joints + sum(made.joints_below for made in choice.systems[1:])
    )
    systems_ft = 0.0
    for made, system in zip(choice.systems, systems, strict=True):
        loss_ft = COUPLED_LOSS_FT if made.coupled else 0.0
        extension_ft = MARGIN_FT + made.swivel_share * (STROKE_FT - 2 * MARGIN_FT)
        systems_ft += sum(joint.length.si for joint in system.bypass.joints) / FOOT_M
        systems_ft += (
            SWIVEL_FT
            + extension_ft
            + PARTS_FT[PartKind.HANDLING_SUB]
            + (PARTS_FT[PartKind.SAFETY_SUB] if made.safety_sub else 0.0)
        )
        systems_ft -= loss_ft * len(system.bypass.joints)
    crossovers_ft = PARTS_FT[PartKind.CROSSOVER] * (len(systems) - 1 + (production.crossover is not None))
    return upset_ft + systems_ft + crossovers_ft + PARTS_FT[PartKind.ENTRY_GUIDE] + PARTS_FT[PartKind.HANGER]


def _feet(number: float) -> Length:
    return length(round(number, 4), "ft")
