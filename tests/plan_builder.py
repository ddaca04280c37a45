"""Builds whole, legal plans from a few choices, so that a test says only what matters to it.

All weights and lengths are invented; slim bypass legs fit 9 5/8 in casing, others 13 3/8 in casing.
"""

from dataclasses import dataclass, replace

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
from app.domain.gear import LoadOutItem
from app.domain.parts import Joint, PartKind, Tubing, YBlock
from app.domain.plan import (
    PLAN_FORMAT,
    PRODUCTION,
    DischargeLine,
    Job,
    MainCable,
    MotorLead,
    Plan,
    Production,
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
from tests.leg_builder import (
    COUPLED_LOSS_FT,
    DROP_FT,
    MARGIN_FT,
    STROKE_FT,
    SWIVEL_FT,
    WORK_FT,
    SystemChoice,
    bypass_leg,
    extension_ft,
    feet,
    part,
    pump_leg,
    support_clamp,
    tubing,
    with_clamps,
)
from tests.plan_stock import CLAMP_TYPES, CONNECTIONS, GEAR, PARTS_FT, SIGNERS, TOOLS

__all__ = ["PlanChoice", "SystemChoice", "build_plan"]

JOINT_FT, UPSET_LOSS_FT = 31.0, 0.198
FOOT_M = 0.3048
WIDEST_SLIM_IN = 2.875


@dataclass(frozen=True, slots=True)
class PlanChoice:
    """What a plan is like: its systems bottom to top and its production tubing."""

    systems: tuple[SystemChoice, ...] = (SystemChoice(), SystemChoice())
    production_joints: int = 12
    production_in: float = 3.5
    production_flush: bool = False
    production_mid_joint: bool = False
    production_crossover: bool = True


def build_plan(choice: PlanChoice | None = None) -> Plan:
    """Return a plan of those choices in which no check finds a stop."""
    choice = choice or PlanChoice()
    names = [f"system {number}" for number in range(1, len(choice.systems) + 1)]
    runs_above = [*(f"tubing below {name}" for name in names[1:]), PRODUCTION]
    systems = tuple(
        _system(number, made, run_above)
        for number, (made, run_above) in enumerate(zip(choice.systems, runs_above, strict=True), start=1)
    )
    production = _production(choice)
    is_wide = any(made.coupled or made.bypass_in > WIDEST_SLIM_IN for made in choice.systems)
    setting_depth = length(round(_string_ft(systems, choice, production), 2), "ft")
    return Plan(
        format=PLAN_FORMAT,
        job=Job("Invented run", "T-1", "Nobody", invented=True),
        rig=Rig("Test rig", length(WORK_FT, "ft"), length(400, "ft"), mass(12000, "lb")),
        well=_well(setting_depth, wide=is_wide),
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
        spares=(part("SPARE-SEAL", PartKind.SEAL),),
    )


def _system(number: int, made: SystemChoice, run_above: str) -> System:
    name = f"system {number}"
    parts = pump_leg(number, made)
    bypass, datum = bypass_leg(number, made, parts)
    is_upper = number > 1
    safety_sub = part(f"S{number}-SAFETY", PartKind.SAFETY_SUB, connection=bypass.connection)
    crossover = part(f"S{number}-CROSSOVER", PartKind.CROSSOVER, connection=_thread(flush=made.below_flush))
    system = System(
        name=name,
        bypass=bypass,
        datum=datum,
        parts=parts,
        y_block=_y_block(number, bypass.connection),
        handling_sub=part(f"S{number}-HANDLING", PartKind.HANDLING_SUB, connection="flush"),
        motor_lead=_motor_lead(number, run_above),
        clamps=(),
        line=_line(number) if made.has_line else None,
        entry_guide=None
        if is_upper
        else part(f"S{number}-GUIDE", PartKind.ENTRY_GUIDE, connection=bypass.connection),
        # As thick as the joints that it stands on, so that clamps fit it too.
        safety_sub=replace(safety_sub, max_od=bypass.od) if made.safety_sub else None,
        tubing_below=_intermediate(number, made) if is_upper else None,
        crossover=crossover if is_upper and made.has_crossover else None,
        support_clamp=support_clamp(is_upper=is_upper),
    )
    return with_clamps(system, made)


def _thread(*, flush: bool) -> str:
    return "flush" if flush else "upset"


def _intermediate(number: int, made: SystemChoice) -> Tubing:
    joints = _joints(f"S{number}-I", made.joints_below)
    run = tubing(f"tubing below system {number}", made.below_in, joints, flush=made.below_flush)
    return _with_cables(run, mid_joint=made.below_mid_joint)


def _production(choice: PlanChoice) -> Production:
    thread = _thread(flush=choice.production_flush)
    joints = _joints("P", choice.production_joints)
    run = tubing(PRODUCTION, choice.production_in, joints, flush=choice.production_flush)
    crossover = part("P-CROSSOVER", PartKind.CROSSOVER, connection="upset")
    return Production(
        tubing=_with_cables(run, mid_joint=choice.production_mid_joint),
        hanger=part("HANGER", PartKind.HANGER, connection=thread),
        penetrator="two-way penetrator",
        crossover=crossover if choice.production_crossover else None,
    )


def _with_cables(run: Tubing, *, mid_joint: bool) -> Tubing:
    return replace(
        run,
        make_up_loss=feet(_loss_ft(run)),
        protector="protector",
        mid_joint_clamp="mid-joint clamp" if mid_joint else "",
    )


def _joints(tag: str, joints: int) -> tuple[Joint, ...]:
    places = range(1, joints + 1)
    return tuple(Joint(f"{tag}{place}", feet(JOINT_FT), f"SN-{tag}{place}") for place in places)


def _loss_ft(run: Tubing) -> float:
    return 0.0 if run.is_flush else UPSET_LOSS_FT


def _y_block(number: int, thread: str) -> YBlock:
    return YBlock(
        tag=f"S{number}-Y",
        description="Y-block with telescopic swivel",
        length=feet(3.0),
        drop=feet(DROP_FT),
        swivel_length=feet(SWIVEL_FT),
        stroke=feet(STROKE_FT),
        margin=feet(MARGIN_FT),
        max_od=length(8.25, "in"),
        weight=mass(520, "lb"),
        head_connection="flange",
        swivel_connection=thread,
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
        survey=tuple(SurveyPoint(feet(depth_ft), Angle(0.0), Angle(0.0)) for depth_ft in (0.0, 20000.0)),
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
    total_ft = PARTS_FT[PartKind.ENTRY_GUIDE] + PARTS_FT[PartKind.HANGER]
    for made, system in zip(choice.systems, systems, strict=True):
        subs = (system.safety_sub, system.handling_sub, system.crossover)
        total_ft += sum(PARTS_FT[sub.kind] for sub in subs if sub is not None)
        total_ft += SWIVEL_FT + extension_ft(made)
        loss_ft = COUPLED_LOSS_FT if made.coupled else 0.0
        total_ft += sum(joint.length.si for joint in system.bypass.joints) / FOOT_M
        total_ft -= loss_ft * len(system.bypass.joints)
    total_ft += PARTS_FT[PartKind.CROSSOVER] if production.crossover is not None else 0.0
    runs = [*(system.tubing_below for system in systems), production.tubing]
    return total_ft + sum((JOINT_FT - _loss_ft(run)) * len(run.joints) for run in runs if run is not None)
