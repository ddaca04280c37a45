"""Hypothesis strategies: any legal plan, drawn as the few choices that a plan is built from."""

from hypothesis import strategies as st

from app.domain.plan import Plan
from tests.leg_builder import Intake, PupAt, SystemChoice
from tests.plan_builder import PlanChoice, build_plan


def _rounded(lowest: float, highest: float) -> st.SearchStrategy[float]:
    return st.floats(lowest, highest).map(lambda number: round(number, 2))


JOINTS_FT = _rounded(28.0, 32.0)
PUPS_FT = _rounded(3.0, 12.0)
BYPASS_IN = st.sampled_from([2.375, 2.875, 3.5])
RUNS_IN = st.sampled_from([2.875, 3.5, 4.5])
# The ends of the free stroke and of the leg are legal too, but rounding may put them just outside.
SHARES = st.floats(0.01, 0.99)


def system_choices() -> st.SearchStrategy[SystemChoice]:
    """Draw a system over its whole space: what is in each leg, of what size, joined and lifted how."""
    return st.builds(
        SystemChoice,
        motors=st.integers(1, 3),
        seals=st.integers(1, 3),
        pumps=st.integers(1, 3),
        intake=st.sampled_from(Intake),
        gauge=st.booleans(),
        line=st.booleans(),
        discharge_sub=st.booleans(),
        sub_on_pump=st.booleans(),
        seal_on_motor=st.booleans(),
        safety_sub=st.booleans(),
        coupled=st.booleans(),
        bypass_in=BYPASS_IN,
        pups_ft=st.lists(PUPS_FT, max_size=3).map(tuple),
        pups_at=st.sampled_from(PupAt),
        joints_ft=st.lists(JOINTS_FT, min_size=1, max_size=4).map(tuple),
        swivel_share=SHARES,
        clamp_shares=st.lists(SHARES, max_size=4).map(tuple),
        joints_below=st.integers(1, 4),
        below_in=RUNS_IN,
        below_flush=st.booleans(),
        below_mid_joint=st.booleans(),
    )


def plan_choices() -> st.SearchStrategy[PlanChoice]:
    """Draw one to three systems and some production tubing."""
    return st.builds(
        PlanChoice,
        systems=st.lists(system_choices(), min_size=1, max_size=3).map(tuple),
        production_joints=st.integers(1, 12),
        production_in=RUNS_IN,
        production_flush=st.booleans(),
        production_mid_joint=st.booleans(),
        production_crossover=st.booleans(),
    )


def plans() -> st.SearchStrategy[Plan]:
    """Draw a plan in which no check finds a stop."""
    return plan_choices().map(build_plan)
