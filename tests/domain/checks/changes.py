"""Small changes of a plan, as new plans."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from app.domain.connections import ConnectionType, Tool, ToolKind
from app.domain.crew import ElectricalTest, HoldPoint, StageKind, TestMoment
from app.domain.gear import Clamp, ClampType, GearKind, LiftingGear
from app.domain.parts import Joint, Part, PartKind
from app.domain.plan import MainCable, Plan, System


def change_system(plan: Plan, position: int, **changes: Any) -> Plan:
    """Return the plan with a system changed."""
    return replace(plan, systems=_put(plan.systems, position, replace(plan.systems[position], **changes)))


def change_clamps(plan: Plan, position: int, *more: Clamp) -> Plan:
    """Return the plan with clamps added to those of a system."""
    return change_system(plan, position, clamps=(*plan.systems[position].clamps, *more))


def change_parts(plan: Plan, position: int, change: Callable[[tuple[Part, ...]], tuple[Part, ...]]) -> Plan:
    """Return the plan with the pump leg of a system changed."""
    return change_system(plan, position, parts=change(plan.systems[position].parts))


def change_part(plan: Plan, position: int, kind: PartKind, /, **changes: Any) -> Plan:
    """Return the plan with the first pump-leg part of a kind changed."""
    part = plan.systems[position].part(kind)
    assert part is not None
    changed = replace(part, **changes)
    return change_parts(plan, position, lambda parts: tuple(changed if it is part else it for it in parts))


def without_part(plan: Plan, position: int, kind: PartKind) -> Plan:
    """Return the plan without pump-leg parts of a kind, and without the clamps at them."""
    system = plan.systems[position]
    gone = {part.tag for part in system.parts if part.kind is kind}
    return change_system(
        plan,
        position,
        parts=tuple(part for part in system.parts if part.tag not in gone),
        clamps=tuple(clamp for clamp in system.clamps if clamp.at not in gone),
    )


def change_y_block(plan: Plan, position: int, **changes: Any) -> Plan:
    """Return the plan with the Y-block of a system changed."""
    return change_system(plan, position, y_block=replace(plan.systems[position].y_block, **changes))


def change_bypass(plan: Plan, position: int, **changes: Any) -> Plan:
    """Return the plan with the bypass tubing of a system changed."""
    return change_system(plan, position, bypass=replace(plan.systems[position].bypass, **changes))


def change_cable(plan: Plan, position: int, **changes: Any) -> Plan:
    """Return the plan with the main cable of a system changed."""
    lead = plan.systems[position].motor_lead
    cable: MainCable = replace(lead.main_cable, **changes)
    return change_system(plan, position, motor_lead=replace(lead, main_cable=cable))


def change_line(plan: Plan, position: int, **changes: Any) -> Plan:
    """Return the plan with the discharge line of a system changed."""
    line = plan.systems[position].line
    assert line is not None
    return change_system(plan, position, line=replace(line, **changes))


def change_line_test(plan: Plan, position: int, **changes: Any) -> Plan:
    """Return the plan with the line test of a system changed."""
    line = plan.systems[position].line
    assert line is not None
    return change_system(plan, position, line=replace(line, test=replace(line.test, **changes)))


def change_connection(plan: Plan, name: str, **changes: Any) -> Plan:
    """Return the plan with a connection type changed."""
    kinds: tuple[ConnectionType, ...] = tuple(
        replace(kind, **changes) if kind.name == name else kind for kind in plan.connection_types
    )
    return replace(plan, connection_types=kinds)


def change_clamp_type(plan: Plan, name: str, **changes: Any) -> Plan:
    """Return the plan with a clamp type changed."""
    kinds: tuple[ClampType, ...] = tuple(
        replace(kind, **changes) if kind.name == name else kind for kind in plan.clamp_types
    )
    return replace(plan, clamp_types=kinds)


def change_tool(plan: Plan, kind: ToolKind, **changes: Any) -> Plan:
    """Return the plan with its tools of a kind changed."""
    tools: tuple[Tool, ...] = tuple(
        replace(tool, **changes) if tool.kind is kind else tool for tool in plan.tools
    )
    return replace(plan, tools=tools)


def change_gear(plan: Plan, kind: GearKind, **changes: Any) -> Plan:
    """Return the plan with its gear of a kind changed."""
    gear: tuple[LiftingGear, ...] = tuple(
        replace(piece, **changes) if piece.kind is kind else piece for piece in plan.lifting_gear
    )
    return replace(plan, lifting_gear=gear)


def without_gear(plan: Plan, kind: GearKind) -> Plan:
    """Return the plan without gear of a kind."""
    return replace(plan, lifting_gear=tuple(piece for piece in plan.lifting_gear if piece.kind is not kind))


def change_hold_point(plan: Plan, stage: StageKind, **changes: Any) -> Plan:
    """Return the plan with the hold points before a kind of stage changed."""
    points: tuple[HoldPoint, ...] = tuple(
        replace(point, **changes) if point.before is stage else point for point in plan.hold_points
    )
    return replace(plan, hold_points=points)


def without_hold_point(plan: Plan, stage: StageKind) -> Plan:
    """Return the plan without hold points before a kind of stage."""
    return replace(plan, hold_points=tuple(point for point in plan.hold_points if point.before is not stage))


def change_electrical_test(plan: Plan, moment: TestMoment, **changes: Any) -> Plan:
    """Return the plan with the electrical test at a moment changed."""
    tests: tuple[ElectricalTest, ...] = tuple(
        replace(test, **changes) if test.moment is moment else test for test in plan.electrical_tests
    )
    return replace(plan, electrical_tests=tests)


def change_well(plan: Plan, **changes: Any) -> Plan:
    """Return the plan with the well changed."""
    return replace(plan, well=replace(plan.well, **changes))


def change_casing(plan: Plan, **changes: Any) -> Plan:
    """Return the plan with its first casing section changed."""
    return change_well(plan, casing=(replace(plan.well.casing[0], **changes), *plan.well.casing[1:]))


def change_first_joint(plan: Plan, position: int, **changes: Any) -> Plan:
    """Return the plan with the lowest bypass joint of a system changed."""
    joints: tuple[Joint, ...] = plan.systems[position].bypass.joints
    return change_bypass(plan, position, joints=(replace(joints[0], **changes), *joints[1:]))


def _put(systems: tuple[System, ...], position: int, system: System) -> tuple[System, ...]:
    return (*systems[:position], system, *systems[position + 1 :])
