"""For each rule a way to break a sound plan of two systems so that just this rule must find it."""

import math
from collections.abc import Callable
from dataclasses import replace

from app.domain.closing_legs import Rack
from app.domain.connections import ToolKind
from app.domain.crew import Critical, Person, SecondReading, StageKind, TestMoment
from app.domain.gear import Clamp, GearKind, Issued, LoadOutItem
from app.domain.operations import Operation
from app.domain.parts import LegEnd, PartKind
from app.domain.plan import NOT_WEIGHED, Mark, Plan, SupportClamp
from app.domain.quantities import (
    Angle,
    Density,
    Duration,
    Ratio,
    Resistance,
    Torque,
    length,
    mass,
    read_quantity,
    torque,
)
from app.domain.rates import Rate, Rates
from app.domain.well import SurveyPoint, WeightIndicator
from tests.domain.checks.breaks_figures import READ
from tests.domain.checks.changes import (
    change_bypass,
    change_cable,
    change_casing,
    change_clamp_type,
    change_clamps,
    change_connection,
    change_electrical_test,
    change_gear,
    change_hold_point,
    change_line,
    change_line_test,
    change_part,
    change_parts,
    change_system,
    change_tool,
    change_well,
    change_y_block,
    without_gear,
    without_hold_point,
    without_part,
)
from tests.plan_stock import OUT_OF_DATE, PARTS_FT

Break = Callable[[Plan], Plan]
NOTHING = length(0, "ft")


def _twice(within: str, of: str = "") -> SecondReading:
    return SecondReading(Critical.TORQUE, read_quantity(within, Ratio), of)


def _read_twice(plan: Plan, *rows: SecondReading) -> Plan:
    return replace(plan, limits=replace(plan.limits, second_readings=rows))


def _ft_lbf(number: float) -> Torque:
    return torque(number, "ft*lbf")


def _ohms(text: str) -> Resistance:
    return read_quantity(text, Resistance)


def _survey(*depths_ft: float) -> tuple[SurveyPoint, ...]:
    return tuple(SurveyPoint(length(depth, "ft"), Angle(0.0), Angle(0.0)) for depth in depths_ft)


def _bent_survey(deg_per_100_ft: float) -> tuple[SurveyPoint, ...]:
    """Return a survey that turns evenly down to three hundred feet and is straight below."""
    turn = Angle(math.radians(3 * deg_per_100_ft))
    first, *others = _survey(0, 300, 20000)
    return (first, *(replace(station, inclination=turn) for station in others))


def _rate(time: str) -> Rate:
    return Rate(Operation.TORQUE, read_quantity(time, Duration))


REFERENCES: dict[str, Break] = {
    "unknown-connection": lambda plan: change_part(plan, 0, PartKind.SEAL, connection="no such flange"),
    "unknown-clamp-type": lambda plan: change_system(plan, 1, support_clamp=SupportClamp("no such clamp")),
    "unknown-lifting-clamp": lambda plan: change_part(plan, 0, PartKind.PUMP, lifting_clamp="SLINGS"),
    "unknown-datum-joint": lambda plan: change_system(plan, 0, datum=Mark("S2-B1", NOTHING)),
    "unknown-station": lambda plan: change_system(
        plan, 0, clamps=(Clamp("S2-SEAL-1", "bypass clamp", LegEnd.BASE),)
    ),
    "protector-missing": lambda plan: replace(
        plan, production=replace(plan.production, tubing=replace(plan.production.tubing, protector=""))
    ),
    "unknown-splice-run": lambda plan: change_cable(plan, 0, splice_in="tubing below system 1"),
    "splice-beyond-joints": lambda plan: change_cable(plan, 1, splice_after=13),
    "splice-below-pump": lambda plan: change_cable(plan, 1, splice_in="tubing below system 2"),
    "unknown-rack-tubing": lambda plan: replace(plan, rack=(Rack("no such leg", ()),)),
    "unknown-load-out-item": lambda plan: replace(
        plan, load_out=(*plan.load_out, LoadOutItem("X-1", "anvil"))
    ),
    "name-used-twice": lambda plan: change_system(plan, 1, name="system 1"),
    "tag-used-twice": lambda plan: change_part(plan, 1, PartKind.PUMP, tag="S1-PUMP-1"),
    "serial-used-twice": lambda plan: change_part(plan, 1, PartKind.MOTOR, serial="SN-S1-MOTOR-1"),
    "tag-missing": lambda plan: change_y_block(plan, 0, tag=" "),
    "too-few-clamps": lambda plan: replace(plan, load_out=plan.load_out[3:]),
    "too-few-issued": lambda plan: replace(plan, issued=(Issued("protector", 16),)),
    "issued-unknown": lambda plan: replace(plan, issued=(Issued("anvil", 1),)),
}

STRUCTURE: dict[str, Break] = {
    "no-systems": lambda plan: replace(plan, systems=()),
    "part-in-wrong-place": lambda plan: change_part(plan, 0, PartKind.INTAKE, kind=PartKind.HANGER),
    "pump-leg-order": lambda plan: change_parts(plan, 0, lambda parts: (*parts[:1], *parts[:0:-1])),
    "pump-leg-incomplete": lambda plan: without_part(plan, 0, PartKind.SEAL),
    "upper-system-incomplete": lambda plan: change_system(plan, 1, support_clamp=None),
    "lowest-system-supported": lambda plan: change_system(
        plan, 0, support_clamp=SupportClamp("support clamp")
    ),
    "entry-guide-missing": lambda plan: change_system(plan, 0, entry_guide=None),
    "entry-guide-misplaced": lambda plan: change_system(plan, 1, entry_guide=plan.systems[0].entry_guide),
    "line-without-ends": lambda plan: without_part(plan, 1, PartKind.GAUGE),
    "no-joints": lambda plan: change_bypass(plan, 0, joints=()),
    "connection-missing": lambda plan: change_part(plan, 0, PartKind.SEAL, connection=""),
    "deck-joint-open": lambda plan: change_part(plan, 0, PartKind.DISCHARGE_SUB, made_up_on_deck=True),
    "first-lift-by-hand": lambda plan: change_part(plan, 0, PartKind.MOTOR, lifting_clamp=""),
    "lifted-by-hand": lambda plan: change_part(plan, 0, PartKind.MOTOR, lifting_clamp=""),
    "size-not-positive": lambda plan: change_part(plan, 0, PartKind.PUMP, length=NOTHING),
    "figures-withheld": lambda plan: change_system(plan, 1, tubing_below=None),
}

STATIONS: dict[str, Break] = {
    "clamp-place-unclear": lambda plan: change_clamps(plan, 0, Clamp("S1-SEAL-1", "bypass clamp")),
    "clamp-off-its-part": lambda plan: change_clamps(
        plan, 0, Clamp("S1-B2", "bypass clamp", below_top=length(2, "in"))
    ),
    "clamp-beside-nothing": lambda plan: change_clamps(plan, 0, Clamp("S1-B1", "bypass clamp", LegEnd.BASE)),
    "clamps-overlap": lambda plan: change_clamps(plan, 0, Clamp("S1-SEAL-1", "bypass clamp", LegEnd.HEAD)),
}

PEOPLE: dict[str, Break] = {
    "hold-point-missing": lambda plan: without_hold_point(plan, StageKind.LANDING),
    "hold-point-without-topics": lambda plan: change_hold_point(plan, StageKind.LANDING, topics=(" ",)),
    "hold-point-without-signer": lambda plan: change_hold_point(plan, StageKind.LANDING, signed_by=()),
    "hold-point-repeated": lambda plan: replace(plan, hold_points=plan.hold_points + plan.hold_points[:1]),
    "unknown-hold-point-system": lambda plan: change_hold_point(plan, StageKind.LANDING, system="system 9"),
    "unknown-role": lambda plan: replace(plan, crew=(*plan.crew, Person("Nia Nobody", "conjurer"))),
    "own-role": lambda plan: replace(plan, extra_roles=("driller",)),
    "nobody-to-sign": lambda plan: replace(plan, crew=plan.crew[1:]),
}

TORQUE: dict[str, Break] = {
    "torque-window-disordered": lambda plan: change_connection(plan, "flush", low=_ft_lbf(560)),
    "torque-unlikely": lambda plan: change_connection(
        plan, "flush", low=_ft_lbf(4500), target=_ft_lbf(5000), high=_ft_lbf(5500)
    ),
    "torque-window-narrow": lambda plan: change_connection(plan, "flange", low=_ft_lbf(74)),
    "torque-window-wide": lambda plan: change_connection(plan, "flush", high=_ft_lbf(700)),
    "method-does-not-suit": lambda plan: change_bypass(plan, 0, connection="flange"),
    "bolts-missing": lambda plan: change_connection(plan, "flange", bolts=0),
    "tool-out-of-date": lambda plan: change_tool(plan, ToolKind.TAPE, due=OUT_OF_DATE),
    "tool-range-disordered": lambda plan: change_tool(plan, ToolKind.TONG, torque_low=_ft_lbf(6000)),
    "no-tool-for-connection": lambda plan: change_tool(plan, ToolKind.PIPE_WRENCH, torque_high=_ft_lbf(500)),
    "no-tool-for-test": lambda plan: change_tool(
        plan, ToolKind.RESISTANCE_BRIDGE, resistance_high=_ohms("2 ohm")
    ),
}

PROOFS: dict[str, Break] = {
    "electrical-test-missing": lambda plan: replace(plan, electrical_tests=plan.electrical_tests[1:]),
    "electrical-test-repeated": lambda plan: replace(
        plan, electrical_tests=(*plan.electrical_tests, plan.electrical_tests[0])
    ),
    "test-interval-missing": lambda plan: change_electrical_test(plan, TestMoment.ALONG_PRODUCTION, every=0),
    "resistance-limits-disordered": lambda plan: change_electrical_test(
        plan, TestMoment.LANDED, resistance_low=_ohms("6 ohm")
    ),
    "insulation-limit-unlikely": lambda plan: change_electrical_test(
        plan, TestMoment.LANDED, insulation_low=_ohms("500 kohm")
    ),
    "imbalance-limit-unlikely": lambda plan: replace(
        plan, limits=replace(plan.limits, resistance_imbalance=read_quantity("30 %", Ratio))
    ),
    "line-test-empty": lambda plan: change_line_test(plan, 0, hold=Duration(0.0)),
    "line-test-fall-unlikely": lambda plan: change_line_test(
        plan, 0, allowed_fall=read_quantity("20 %", Ratio)
    ),
}

TWICE: dict[str, Break] = {
    "second-reading-of-nothing": lambda plan: _read_twice(plan, _twice("2 %", of="nobody")),
    "second-reading-repeated": lambda plan: _read_twice(plan, _twice("2 %"), _twice("3 %")),
    "second-reading-tolerance-unfit": lambda plan: _read_twice(plan, _twice("0 %")),
    "second-reading-by-nobody": lambda plan: _read_twice(
        replace(plan, crew=plan.crew[:1]), _twice("2 %", of="bypass clamp")
    ),
}

HOLE: dict[str, Break] = {
    "casing-sizes-disordered": lambda plan: change_casing(plan, drift=length(8.7, "in")),
    "casing-depths-disordered": lambda plan: change_casing(plan, base=NOTHING),
    "casing-does-not-reach": lambda plan: change_casing(plan, base=length(500, "ft")),
    "drift-over-standard": lambda plan: change_casing(plan, drift=length(8.6, "in")),
    "tubing-sizes-disordered": lambda plan: change_bypass(plan, 0, id=length(3, "in")),
    "setting-depth-missing": lambda plan: change_well(plan, setting_depth=NOTHING),
    "fluid-unlikely": lambda plan: change_well(plan, fluid_density=read_quantity("86 lb/gal", Density)),
    "survey-does-not-reach": lambda plan: change_well(plan, survey=plan.well.survey[:1]),
    "survey-disordered": lambda plan: change_well(plan, survey=_survey(0, 300, 200)),
    "rig-heights-disordered": lambda plan: replace(plan, rig=replace(plan.rig, reach=length(3, "ft"))),
    "indicator-share-unlikely": lambda plan: replace(
        plan, weight_indicator=WeightIndicator(5, read_quantity("140 %", Ratio))
    ),
    "friction-without-survey": lambda plan: replace(
        change_well(plan, survey=()),
        weight_indicator=WeightIndicator(5, friction=read_quantity("25 %", Ratio)),
    ),
}

FIGURES: dict[str, Break] = {
    "cable-not-weighed": lambda plan: change_cable(plan, 0, weight=NOT_WEIGHED),
    "legs-do-not-close": lambda plan: change_part(
        plan, 0, PartKind.PUMP, length=length(PARTS_FT[PartKind.PUMP] + 2.67, "ft")
    ),
    "legs-close-narrowly": lambda plan: change_part(
        plan, 0, PartKind.PUMP, length=length(PARTS_FT[PartKind.PUMP] + 0.35, "ft")
    ),
    "swivel-margin-unfit": lambda plan: change_y_block(plan, 0, margin=length(-1, "in")),
    "mark-off-its-joint": lambda plan: change_system(
        plan, 0, datum=Mark(plan.systems[0].datum.joint, length(33, "ft"))
    ),
    "string-length-off": lambda plan: change_well(
        plan, setting_depth=plan.well.setting_depth + length(30, "ft")
    ),
    "motor-lead-too-short": lambda plan: change_system(
        plan, 0, motor_lead=replace(plan.systems[0].motor_lead, length=length(60, "ft"))
    ),
    "main-cable-too-short": lambda plan: change_cable(plan, 1, length=length(60, "ft")),
    "does-not-fit": lambda plan: change_part(plan, 0, PartKind.PUMP, max_od=length(5.7, "in")),
    "tight-fit": lambda plan: change_part(plan, 0, PartKind.PUMP, max_od=length(5.62, "in")),
    "clamp-too-narrow": lambda plan: change_clamp_type(plan, "bypass clamp", centre_distance=length(4, "in")),
    "fit-size-missing": lambda plan: change_line(plan, 0, od=None),
    "too-long-for-dogleg": lambda plan: change_well(plan, survey=_bent_survey(60)),
    "bent-in-dogleg": lambda plan: change_well(plan, survey=_bent_survey(3)),
    "clamp-on-coupling": lambda plan: change_bypass(
        change_clamp_type(plan, "bypass clamp", height=length(40, "ft")), 0, coupling_od=length(3.1, "in")
    ),
    "gear-missing": lambda plan: without_gear(plan, GearKind.WORK_TABLE),
    "sling-angle-flat": lambda plan: change_gear(plan, GearKind.SLINGS, angle=read_quantity("25 deg", Angle)),
    "gear-overloaded": lambda plan: change_gear(plan, GearKind.LIFTING_CLAMP, wll=mass(4000, "lb")),
    "gear-near-limit": lambda plan: change_gear(plan, GearKind.LIFTING_CLAMP, wll=mass(4600, "lb")),
    "gear-too-few": lambda plan: change_gear(plan, GearKind.LIFTING_CLAMP, count=1),
    "gear-out-of-date": lambda plan: change_gear(plan, GearKind.SLINGS, due=OUT_OF_DATE),
    "gear-size-missing": lambda plan: change_gear(plan, GearKind.SLIPS, size=None),
    "support-clamp-overloaded": lambda plan: change_clamp_type(plan, "support clamp", wll=mass(2000, "lb")),
    "support-clamp-not-rated": lambda plan: change_clamp_type(plan, "support clamp", wll=None),
}

TIMES: dict[str, Break] = {
    "rate-twice": lambda plan: replace(plan, rates=Rates(operations=(_rate("60 s"), _rate("2 min")))),
    "rate-nothing": lambda plan: replace(plan, rates=Rates(operations=(_rate("0 s"),))),
}

BREAKS: dict[str, Break] = (
    REFERENCES | STRUCTURE | STATIONS | PEOPLE | TORQUE | PROOFS | TWICE | HOLE | FIGURES | TIMES | READ
)
