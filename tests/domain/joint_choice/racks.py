"""Plans with joints on the rack, for the choice of joints."""

from collections.abc import Sequence
from dataclasses import replace

from hypothesis import strategies as st

from app.domain.closing_legs import Rack
from app.domain.parts import Joint
from app.domain.plan import Plan
from app.domain.quantities import length
from tests.plan_builder import PlanChoice, SystemChoice, build_plan

UPPER = 1
PUP_FT = 15.0  # whatever is shorter is marked as a pup joint


def with_rack(plan: Plan, position: int, lengths_ft: Sequence[float]) -> Plan:
    """Return the plan with so many joints on the rack for a system."""
    joints = tuple(
        Joint(f"R-{number}", length(feet, "ft"), f"SN-R-{number}", pup=feet < PUP_FT)
        for number, feet in enumerate(lengths_ft, start=1)
    )
    return replace(plan, rack=(Rack(plan.systems[position].bypass.name, joints),))


def with_reach(plan: Plan, feet: float) -> Plan:
    """Return the plan on a rig whose elevators reach so high."""
    return replace(plan, rig=replace(plan.rig, reach=length(feet, "ft")))


def small_racks() -> st.SearchStrategy[Plan]:
    """Draw a plan of two systems with a few joints on the rack of the upper one, on a rig high or low."""
    lengths = st.floats(2.0, 33.0).map(lambda number: round(number, 2))
    upper = st.builds(
        SystemChoice,
        pumps=st.integers(1, 2),
        seals=st.integers(1, 2),
        safety_sub=st.booleans(),
        coupled=st.booleans(),
        swivel_share=st.sampled_from([0.0, 0.5, 0.9]),
    )
    return st.builds(
        lambda made, rack, reach: with_reach(
            with_rack(build_plan(PlanChoice((SystemChoice(), made))), UPPER, rack), reach
        ),
        upper,
        st.lists(lengths, max_size=3),
        st.sampled_from([48.0, 55.0, 70.0, 200.0]),
    )
