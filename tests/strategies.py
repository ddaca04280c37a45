"""Hypothesis strategies: any legal plan, drawn as the few choices that a plan is built from."""

from hypothesis import strategies as st

from app.domain.plan import Plan
from tests.plan_builder import PlanChoice, SystemChoice, build_plan

JOINTS_FT = st.floats(28.0, 32.0).map(lambda number: round(number, 2))


def system_choices() -> st.SearchStrategy[SystemChoice]:
    """Draw a system: single or tandem motor, a few seals and pumps, with or without the rest."""
    return st.builds(
        SystemChoice,
        motors=st.integers(1, 2),
        seals=st.integers(1, 3),
        pumps=st.integers(1, 3),
        bolt_on_intake=st.booleans(),
        gauge=st.booleans(),
        safety_sub=st.booleans(),
        coupled=st.booleans(),
        pup_ft=st.just(0.0) | st.floats(2.0, 12.0).map(lambda number: round(number, 2)),
        joints_ft=st.lists(JOINTS_FT, min_size=1, max_size=4).map(tuple),
        # The ends of the free stroke are legal too, but rounding may put them just outside.
        swivel_share=st.floats(0.01, 0.99),
        joints_below=st.integers(1, 6),
    )


def plan_choices() -> st.SearchStrategy[PlanChoice]:
    """Draw one to three systems and some production tubing."""
    return st.builds(
        PlanChoice,
        systems=st.lists(system_choices(), min_size=1, max_size=3).map(tuple),
        production_joints=st.integers(1, 30),
    )


def plans() -> st.SearchStrategy[Plan]:
    """Draw a plan in which no check finds a stop."""
    return plan_choices().map(build_plan)
