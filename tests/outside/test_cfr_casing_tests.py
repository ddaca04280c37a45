"""A fall of pressure against 30 CFR 250.721(f), which judges casing: more than 10 % in 30 minutes is a leak.

No such rule for discharge lines was found. It stands here as the widest that anybody allows.
"""

import pytest

from app.demo import DEMO_NAMES
from app.domain.figures.pressure import fall
from app.domain.plan import Plan
from app.domain.quantities import Pressure, in_unit, read_quantity
from tests.records.test_demo_plans import demo_plan

WIDEST_PERCENT = 10


@pytest.mark.parametrize(
    ("start", "end", "holds"), [("5000 psi", "4500 psi", True), ("5000 psi", "4499 psi", False)]
)
def test_a_tenth_of_the_start_is_the_edge_of_the_rule(start: str, end: str, holds: bool) -> None:
    fallen = fall(read_quantity(start, Pressure), read_quantity(end, Pressure))

    assert (in_unit(fallen, "%") <= WIDEST_PERCENT + 1e-9) is holds


@pytest.mark.parametrize("plan", [demo_plan(name) for name in DEMO_NAMES], ids=DEMO_NAMES)
def test_lines_of_the_demonstration_are_judged_more_narrowly_than_casing(plan: Plan) -> None:
    tests = [system.line.test for system in plan.systems if system.line is not None]

    assert tests
    assert all(0 < in_unit(test.allowed_fall, "%") < WIDEST_PERCENT for test in tests)
