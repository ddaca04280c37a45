"""What the hook carries: joint by joint, over the fluid and under it, in a hole that leans."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.at_step.following import follow
from app.domain.at_step.hook_load import LOWERINGS, hook_load, hook_load_curve, immersed_ratio
from app.domain.checks.loads import STEEL, string_weight
from app.domain.operations import Operation as O  # noqa: N817 - steps read as words
from app.domain.plan import Plan
from app.domain.quantities import Angle, Density, Length, Mass, Ratio, in_unit, length, read_quantity
from app.domain.well import SurveyPoint, WeightIndicator
from tests.domain.at_step.shifts import after, double, number_of, single
from tests.domain.checks.changes import change_well

FLUID_SHARE = read_quantity("8.6 lb/gal", Density).si / STEEL.si


def pounds(value: Mass) -> float:
    return in_unit(value, "lb")


def with_level(plan: Plan, feet: float) -> Plan:
    return change_well(plan, fluid_level=length(feet, "ft"))


def test_the_blocks_hang_alone_where_the_elevators_hold_nothing() -> None:
    plan, sheet = single()

    load = hook_load(after(plan, sheet, O.REMOVE_NUBBIN))

    assert load.air.si == 0.0
    assert pounds(load.expected) == pytest.approx(12000)


def test_over_the_fluid_a_joint_hangs_with_all_its_weight() -> None:
    plan, sheet = single()

    load = hook_load(after(with_level(plan, 1000), sheet, O.LOWER_LEG, "S1-B1"))

    joint_ft = in_unit(plan.systems[0].bypass.joints[0].length, "ft")
    assert pounds(load.air) == pytest.approx(6.4 * joint_ft + 20)  # with its entry guide
    assert load.buoyed == load.air


def test_in_a_full_well_what_stands_over_the_table_is_not_buoyed() -> None:
    plan, sheet = single()
    joint_ft = in_unit(plan.systems[0].bypass.joints[0].length, "ft")

    load = hook_load(after(with_level(plan, 0), sheet, O.LOWER_LEG, "S1-B1"))

    # Four feet of the joint stand over the table; the guide is under it.
    wet_lb = 6.4 * (joint_ft - 4) + 20
    assert pounds(load.buoyed) == pytest.approx(pounds(load.air) - wet_lb * FLUID_SHARE)


def test_elevators_that_share_a_leg_with_slips_say_so() -> None:
    plan, sheet = single()

    assert hook_load(after(plan, sheet, O.SET_SLIPS)).shared
    assert not hook_load(after(plan, sheet, O.LOWER_LEG)).shared


def test_a_pump_leg_on_its_support_clamp_hangs_on_the_hook_with_the_bypass_leg() -> None:
    plan, sheet = double()

    before = hook_load(follow(plan, sheet.steps[: number_of(sheet, O.LAND_ON_SUPPORT) - 1]))
    landed = hook_load(after(plan, sheet, O.LAND_ON_SUPPORT))

    assert pounds(landed.air) - pounds(before.air) == pytest.approx(1650 + 60)


def test_a_landed_string_weighs_what_its_parts_weigh_and_the_cable_that_was_run() -> None:
    plan, sheet = single()
    known = {kind.name: kind.weight for kind in plan.clamp_types}

    load = hook_load(after(plan, sheet, O.LAND_HANGER))

    # The main cable hangs beside the second joint only; three couplings have their protector.
    cable = plan.systems[0].motor_lead.main_cable
    spooled_kg = cable.weight.si * (cable.length.si - _net_m(plan, "P2"))
    protectors_kg = known["protector"].si * 3
    assert load.air.si == pytest.approx(string_weight(plan).si - spooled_kg + protectors_kg)


def test_the_curve_has_a_point_for_each_lowering_and_goes_deeper() -> None:
    plan, sheet = double()

    curve = hook_load_curve(plan, sheet.steps)

    assert [point.step.number for point in curve] == [
        step.number for step in sheet.steps if step.operation in LOWERINGS
    ]
    run = [point for point in curve if point.step.stage == curve[-1].step.stage]
    assert all(upper.depth < lower.depth for upper, lower in pairwise(run))
    assert all(upper.load.air < lower.load.air for upper, lower in pairwise(run))


def test_the_curve_follows_a_length_that_was_measured() -> None:
    plan, sheet = single()
    tubing = plan.production.tubing
    longer = replace(tubing.joints[0], length=tubing.joints[0].length + length(1, "ft"))
    measured = replace(
        plan,
        production=replace(plan.production, tubing=replace(tubing, joints=(longer, *tubing.joints[1:]))),
    )

    before, now = hook_load_curve(plan, sheet.steps)[-1], hook_load_curve(measured, sheet.steps)[-1]

    assert in_unit(now.depth - before.depth, "ft") == pytest.approx(1)
    # The crossover was made up to this joint; its weight a foot stands in the plan.
    assert pounds(now.load.air - before.load.air) == pytest.approx(9.3, abs=1.2)


@pytest.mark.parametrize(
    ("top_m", "share"), [(-4.0, 0.0), (0.0, 0.0), (2.0, 0.2), (5.0, 0.5), (10.0, 1.0), (40.0, 1.0)]
)
def test_a_share_of_what_stands_across_the_level_is_under_it(top_m: float, share: float) -> None:
    assert immersed_ratio(Length(top_m), Length(10.0), Length(10.0)) == pytest.approx(share)


def leaning_by(plan: Plan, *stations: tuple[float, float]) -> Plan:
    """Return the plan in a hole that leans by so many degrees at so many feet."""
    survey = tuple(
        SurveyPoint(length(feet, "ft"), Angle(math.radians(degrees)), Angle(0.0))
        for feet, degrees in stations
    )
    return change_well(plan, survey=survey)


def test_in_a_hole_that_leans_the_hook_carries_what_pulls_along_it() -> None:
    plan, sheet = single()

    # Leaning by 60 degrees from the table on; only the four feet over it hang straight down.
    leaning = hook_load(after(leaning_by(with_level(plan, 0), (0, 60)), sheet, O.LOWER_LEG, "S1-B1"))

    joint_ft = in_unit(plan.systems[0].bypass.joints[0].length, "ft")
    wet_lb = (6.4 * (joint_ft - 4) + 20) * (1 - FLUID_SHARE)
    # The joint is one piece: its part over the table is as wet as the rest in what presses on the wall.
    over = 4 / joint_ft
    joint_lb = 6.4 * joint_ft * (1 - FLUID_SHARE * (1 - over))
    on_wall_lb = joint_lb * (1 - over) / 2 + 20 * (1 - FLUID_SHARE) / 2
    assert pounds(leaning.buoyed) == pytest.approx(wet_lb + 6.4 * 4)
    assert pounds(leaning.on_wall) == pytest.approx(on_wall_lb)
    assert pounds(leaning.expected) == pytest.approx(12000 + wet_lb + 6.4 * 4 - on_wall_lb)
    assert leaning.drag.si == 0


def test_friction_holds_back_what_goes_in() -> None:
    plan, sheet = single()
    leaning = leaning_by(plan, (0, 0), (50, 30))
    rubbing = replace(leaning, weight_indicator=WeightIndicator(5, friction=read_quantity("30 %", Ratio)))

    free, held = (hook_load_curve(one, sheet.steps)[-1].load for one in (leaning, rubbing))

    assert free.drag.si == 0
    assert held.drag.si > 0
    assert held.expected == free.expected
    assert held.going_in == held.expected - held.drag


@given(st.lists(st.floats(0.0, 80.0), min_size=1, max_size=5), st.floats(0.0, 0.5), st.integers(0, 10_000))
@settings(max_examples=20, deadline=None)
def test_a_hole_never_makes_the_hook_carry_more(degrees: list[float], friction: float, number: int) -> None:
    plan, sheet = single()
    leaning = replace(
        leaning_by(plan, *((40.0 * place, lean) for place, lean in enumerate(degrees))),
        weight_indicator=WeightIndicator(5, friction=Ratio(friction)),
    )

    load = hook_load(follow(leaning, sheet.steps[: number % len(sheet.steps)]))

    assert -1e-9 <= load.on_wall.si <= load.buoyed.si
    assert load.blocks.si - 1e-9 <= load.going_in.si <= load.expected.si + 1e-9


@given(st.floats(0.0, 3000.0), st.floats(300.0, 2500.0), st.integers(0, 10_000))
@settings(max_examples=25, deadline=None)
def test_buoyed_is_never_over_air_and_never_under_nothing(level_m: float, kg_m3: float, number: int) -> None:
    plan, sheet = double()
    wet = change_well(plan, fluid_level=Length(level_m), fluid_density=Density(kg_m3))

    load = hook_load(follow(wet, sheet.steps[: number % len(sheet.steps)]))

    assert 0.0 <= load.buoyed.si <= load.air.si
    assert load.expected.si == pytest.approx(load.buoyed.si + load.blocks.si)


@given(st.integers(0, 10_000))
@settings(max_examples=20, deadline=None)
def test_weights_add_up(number: int) -> None:
    plan, sheet = double()
    followed = follow(plan, sheet.steps[: number % len(sheet.steps)])
    state = followed.state

    load = hook_load(followed)

    held = state.bodies.of(state.elevators) if state.elevators else None
    if held is not None:
        standing = [
            state.bodies.of(base)
            for base, on in state.standing.items()
            if state.bodies.same(on, state.elevators)
        ]
        tags = {tag for body in (held, *standing) for tag in state.bodies.members(body)}
        assert load.air.si == pytest.approx(sum(state.bodies.mass_kg.get(tag, 0.0) for tag in tags))


@given(st.floats(0.0, 1000.0), st.floats(0.0, 1000.0))
@settings(max_examples=15, deadline=None)
def test_a_fuller_well_never_makes_the_string_heavier(one_m: float, other_m: float) -> None:
    plan, sheet = single()
    shallow, deep = sorted((one_m, other_m))

    full = hook_load_curve(change_well(plan, fluid_level=Length(shallow)), sheet.steps)
    drained = hook_load_curve(change_well(plan, fluid_level=Length(deep)), sheet.steps)

    for in_full, in_drained in zip(full, drained, strict=True):
        assert in_full.load.buoyed.si <= in_drained.load.buoyed.si + 1e-9


def _net_m(plan: Plan, tag: str) -> float:
    tubing = plan.production.tubing
    return next((joint.length - tubing.make_up_loss).si for joint in tubing.joints if joint.tag == tag)
