"""Weights add up: what hangs on the hook weighs what its kinds of parts would weigh there one by one."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.at_step.following import follow
from app.domain.at_step.hook_load import HookLoad, hook_load
from app.domain.checks.loads import buoyancy_ratio
from app.domain.compiler.compile import compile_plan
from app.domain.operations import Operation as O  # noqa: N817 - steps read as words
from app.domain.plan import Plan
from app.domain.quantities import Quantity
from app.domain.sheet import Step
from tests.plan_rewriting import rewritten
from tests.strategies import plans

WEIGHED = ("Part", "Tubing", "YBlock", "ClampType", "MotorLead", "MainCable")


@given(plans(), st.floats(0.0, 1.0))
@settings(max_examples=6, deadline=None)
def test_the_hook_carries_the_sum_of_the_parts_and_never_more_in_fluid(plan: Plan, share: float) -> None:
    sheet, _ = compile_plan(plan)
    landing = next(step.number for step in sheet.steps if step.operation is O.LAND_HANGER)
    for count in (round(share * landing), landing):
        steps = sheet.steps[:count]

        whole = _load(plan, steps)

        each = [_load(_only(plan, kind), steps) for kind in WEIGHED]
        assert whole.air.si == pytest.approx(sum(one.air.si for one in each))
        assert whole.buoyed.si == pytest.approx(sum(one.buoyed.si for one in each))
        lightest_kg = whole.air.si * buoyancy_ratio(plan.well.fluid_density)
        assert lightest_kg - 1e-6 <= whole.buoyed.si <= whole.air.si


@given(plans(), st.floats(0.1, 10.0))
@settings(max_examples=4, deadline=None)
def test_parts_so_many_times_as_heavy_weigh_so_many_times_as_much_on_the_hook(
    plan: Plan, times: float
) -> None:
    sheet, _ = compile_plan(plan)
    landing = next(step.number for step in sheet.steps if step.operation is O.LAND_HANGER)

    light, heavy = (_load(one, sheet.steps[:landing]) for one in (plan, _times(plan, times)))

    assert light.air.si > 0
    assert heavy.air.si == pytest.approx(times * light.air.si)
    assert heavy.buoyed.si == pytest.approx(times * light.buoyed.si)


def _load(plan: Plan, steps: tuple[Step, ...]) -> HookLoad:
    return hook_load(follow(plan, steps))


def _only(plan: Plan, kind: str) -> Plan:
    """Return the plan in which nothing but one kind of record has a weight."""
    return rewritten(
        plan,
        lambda record, name, value: (
            type(value)(0.0) if name == "weight" and type(record).__name__ != kind else value
        ),
    )


def _times(plan: Plan, times: float) -> Plan:
    """Return the plan in which everything is so many times as heavy."""

    def heavier(_record: object, name: str, value: Quantity) -> Quantity:
        return value * times if name == "weight" else value

    return rewritten(plan, heavier)
