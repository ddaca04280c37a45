"""Plans with joints on the rack, for the choice of joints."""

from collections.abc import Sequence
from dataclasses import replace

from hypothesis import strategies as st

from app.domain.closing_legs import Rack
from app.domain.parts import Joint
from app.domain.plan import Plan
from app.domain.quantities import length
from tests.domain.checks.changes import change_system, change_y_block
from tests.leg_builder import DROP_FT, SWIVEL_FT, Intake
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


def doubtful_legs() -> st.SearchStrategy[tuple[Plan, int]]:
    """Draw a plan and one of its systems whose leg may be too short, too low or beyond reach as planned."""
    near = st.floats(-3.0, 3.0).map(lambda number: round(31.0 + number, 2))
    pups = st.floats(2.0, 9.0).map(lambda number: round(number, 2))
    made = st.builds(
        SystemChoice,
        pumps=st.integers(1, 2),
        seals=st.just(1),
        intake=st.sampled_from(Intake),
        sub_on_pump=st.booleans(),
        safety_sub=st.booleans(),
        coupled=st.booleans(),
        clamp_shares=st.sampled_from([(), (), (0.4,)]),
        swivel_share=st.sampled_from([0.5, 0.5, 0.9, 1.2, -2.0]),
    )
    legs = st.builds(_doubtful, made, st.booleans(), st.lists(near | pups, min_size=1, max_size=2))
    return st.builds(
        _harder,
        legs,
        st.sampled_from([34, 40, 48, 75, 200, 200, 200]),
        st.sampled_from([SWIVEL_FT] * 5 + [DROP_FT - 0.3]),
        st.booleans(),
    )


def _doubtful(made: SystemChoice, is_upper: bool, rack: Sequence[float]) -> tuple[Plan, int]:
    choice = PlanChoice((SystemChoice(), made) if is_upper else (made,))
    position = len(choice.systems) - 1
    return with_rack(build_plan(choice), position, rack), position


def _harder(leg: tuple[Plan, int], reach: int, swivel_ft: float, is_thick: bool) -> tuple[Plan, int]:
    plan, position = with_reach(leg[0], reach), leg[1]
    plan = change_y_block(plan, position, swivel_length=length(swivel_ft, "ft"))
    sub = plan.systems[position].safety_sub
    if sub is not None and is_thick:
        plan = change_system(plan, position, safety_sub=replace(sub, max_od=length(4, "in")))
    return plan, position
