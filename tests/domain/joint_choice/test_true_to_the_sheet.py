"""The choice of joints against the sheet and the checks themselves, which know nothing of it."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import permutations

import pytest
from hypothesis import event, given, settings

from app.demo import demo_plan_text
from app.domain.checks.clamp_heights import check_clamp_heights
from app.domain.checks.closure import check_closure, check_marks
from app.domain.checks.space_out import closes
from app.domain.checks.stations import check_clamps_apart, check_clamps_beside
from app.domain.compiler.compile import compile_plan
from app.domain.joint_choice.choice import choose_joints
from app.domain.joint_choice.explained import explain
from app.domain.joint_choice.taken import with_leg
from app.domain.legs import joints_from_mark, mid_stroke, places_held, swivel_extension
from app.domain.parts import Joint
from app.domain.plan import Mark, Plan
from app.domain.problems import Problem, Severity
from app.domain.quantities import length
from app.domain.string.laws import prove_sheet
from app.records.plan_toml import read_plan
from tests.domain.checks.changes import change_bypass, change_system
from tests.domain.joint_choice.racks import doubtful_legs
from tests.plan_stock import TODAY

CLAMP_CHECKS = (check_marks, check_clamps_beside, check_clamps_apart, check_clamp_heights)
OF_HEIGHTS = {"bypass-leg-beyond-reach", "bypass-leg-never-high-enough", "bypass-leg-too-low", "mark-too-low"}
HAIR_M = 1e-4


@given(doubtful_legs())
@settings(max_examples=12, deadline=None)
def test_a_choice_keeps_every_rule_of_heights_and_where_there_is_none_no_order_of_the_rack_does(
    drawn: tuple[Plan, int],
) -> None:
    plan, position = drawn
    nearest = next((taken for taken in _closing(plan, position) if not _broken(taken, position)), None)

    choice = choose_joints(plan, position, seconds=60)

    event(f"fits: {nearest is not None}")
    assert choice.proven
    assert (choice.leg is None) == (nearest is None)
    if choice.leg is not None and nearest is not None:
        assert choice.leg.off.si <= _off_m(nearest, position) + choice.wanted.step.si + HAIR_M
    for leg in (choice.leg, *choice.runners_up):
        if leg is not None:
            taken = with_leg(plan, position, leg)
            assert swivel_extension(taken.systems[position]).si == pytest.approx(leg.extension.si, abs=1e-9)
            assert _broken(taken, position) == []


def test_the_safety_sub_on_a_whole_leg_counts_towards_the_reach() -> None:
    plan, _ = read_plan(demo_plan_text("single"))
    assert plan is not None
    low = replace(plan, rig=replace(plan.rig, reach=length(13.25, "m")))
    high = replace(plan, rig=replace(plan.rig, reach=length(13.40, "m")))

    refused, found = choose_joints(low, 0), choose_joints(high, 0)

    assert [problem.rule for problem in compile_plan(low)[1]] == ["bypass-leg-beyond-reach"]
    assert refused.leg is None
    assert explain(low, 0, refused)[1].startswith("Beside MTR-1 the leg stands 0.47 ft higher than the")
    assert found.leg is not None
    assert prove_sheet(high, compile_plan(with_leg(high, 0, found.leg))[0]) == ()


def _closing(plan: Plan, position: int) -> Iterator[Plan]:
    """Yield the plan with each order of own and racked joints that closes, nearest to mid stroke first."""
    system = plan.systems[position]
    own = joints_from_mark(system)
    stay = own[: places_held(system)]
    loose = (*own[len(stay) :], *(joint for rack in plan.rack for joint in rack.joints))
    orders = ((*stay, *order) for count in range(len(loose) + 1) for order in permutations(loose, count))
    built = (_with(plan, position, order) for order in orders if order)
    closing = [
        made for made in built if closes(made.systems[position], swivel_extension(made.systems[position]))
    ]
    yield from sorted(closing, key=lambda made: _off_m(made, position))


def _with(plan: Plan, position: int, order: tuple[Joint, ...]) -> Plan:
    system = plan.systems[position]
    under = system.bypass.joints[: len(system.bypass.joints) - len(joints_from_mark(system))]
    built = change_bypass(plan, position, joints=(*under, *order))
    return change_system(built, position, datum=Mark(order[0].tag, system.datum.below_top))


def _off_m(plan: Plan, position: int) -> float:
    system = plan.systems[position]
    return abs((swivel_extension(system) - mid_stroke(system)).si)


def _broken(plan: Plan, position: int) -> list[Problem]:
    """Return what checks and sheet find about the heights of a leg; no law of them is broken otherwise."""
    place = f"systems[{position}]"
    found = [problem for check in CLAMP_CHECKS for problem in check(plan, TODAY)]
    found += [problem for problem in check_closure(plan, TODAY) if problem.severity is Severity.STOP]
    found = [problem for problem in found if problem.where.startswith(place)]
    if found:
        return found
    sheet, compiled = compile_plan(plan)
    broken = [
        problem for problem in compiled if problem.rule in OF_HEIGHTS and problem.where.startswith(place)
    ]
    if not any(problem.rule in OF_HEIGHTS for problem in compiled):
        assert "law-in-reach" not in {problem.rule for problem in prove_sheet(plan, sheet)}
    return broken
