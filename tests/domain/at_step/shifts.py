"""A small plan with its sheet, and the string after any of its steps."""

from functools import cache

from app.domain.at_step.following import Followed, follow
from app.domain.compiler.compile import compile_plan
from app.domain.operations import Operation
from app.domain.plan import Plan
from app.domain.sheet import Sheet
from tests.plan_builder import PlanChoice, SystemChoice, build_plan


@cache
def double() -> tuple[Plan, Sheet]:
    """Return a plan of two systems and its sheet."""
    plan = build_plan()
    return plan, compile_plan(plan)[0]


@cache
def single() -> tuple[Plan, Sheet]:
    """Return a plan of one system and two production joints, and its sheet."""
    plan = build_plan(PlanChoice((SystemChoice(),), production_joints=2))
    return plan, compile_plan(plan)[0]


def number_of(sheet: Sheet, operation: Operation, part: str = "") -> int:
    """Return the number of the first step that does something, to a part."""
    return next(
        step.number
        for step in sheet.steps
        if step.operation is operation and (not part or part in step.parts)
    )


def after(plan: Plan, sheet: Sheet, operation: Operation, part: str = "") -> Followed:
    """Return the string after the first step that does something, to a part."""
    return follow(plan, sheet.steps[: number_of(sheet, operation, part)])
