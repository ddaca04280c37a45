"""What brings a swivel to mid stroke, told so that somebody can do it, and true once it is done."""

from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from app.domain.built import Built
from app.domain.checks.mending import advice, mend_for
from app.domain.checks.tolerances import LENGTH_TOLERANCE
from app.domain.closing_legs import Rack
from app.domain.gear import Clamp
from app.domain.legs import mid_stroke, swivel_extension
from app.domain.parts import Joint, LegEnd, PartKind
from app.domain.plan import Mark, Plan
from app.domain.quantities import in_unit, length
from tests.domain.checks.changes import change_bypass, change_part, change_system, change_y_block
from tests.plan_builder import PlanChoice, SystemChoice, build_plan

SINGLE = build_plan(PlanChoice((SystemChoice(),)))


def _off_by(feet: float) -> Plan:
    return change_part(SINGLE, 0, PartKind.PUMP, length=length(round(18.6 + feet, 2), "ft"))


def _with_rack(plan: Plan, *lengths_ft: float) -> Plan:
    joints = tuple(
        Joint(f"R-{number}", length(feet, "ft")) for number, feet in enumerate(lengths_ft, start=1)
    )
    return replace(plan, rack=(Rack("system 1 bypass", joints),))


def _advice(plan: Plan) -> str:
    return advice(plan, plan.systems[0], LENGTH_TOLERANCE)


@pytest.mark.parametrize(("feet", "way"), [(0.3, "0.30 ft down on S1-B1"), (-0.3, "0.30 ft up on S1-B1")])
def test_a_mark_is_moved_down_where_the_swivel_stands_too_far_out_and_up_where_not_enough(
    feet: float, way: str
) -> None:
    assert f"move the mark {way}, to" in _advice(_off_by(feet))


def test_a_mark_that_leaves_its_joint_is_set_on_the_next() -> None:
    plan = change_system(SINGLE, 0, datum=Mark("S1-B2", length(1, "ft")))

    assert "below the top of S1-B1 in place of S1-B2" in _advice(plan)


def test_the_joint_of_the_rack_that_brings_the_swivel_nearest_is_named_with_what_it_leaves() -> None:
    plan = _with_rack(_off_by(0.3), 31.0, 31.7, 32.4)

    mend = mend_for(plan, plan.systems[0])

    assert mend.swap is not None
    assert (mend.swap.out.tag, mend.swap.into.tag) == ("S1-B3", "R-2")
    assert "swap S1-B3 for R-2 of the rack, which leaves it 0.00 ft off" in _advice(plan)


def test_a_joint_that_a_clamp_sits_on_is_not_swapped() -> None:
    plan = _with_rack(_off_by(0.3), 31.7)
    clamps = tuple(Clamp(tag, "bypass clamp", LegEnd.HEAD) for tag in ("S1-B2", "S1-B3"))

    held = change_system(plan, 0, clamps=(*plan.systems[0].clamps, *clamps))

    assert mend_for(held, held.systems[0]).swap is None


def test_a_rack_for_another_leg_and_a_joint_that_makes_it_worse_are_left_alone() -> None:
    other = replace(_off_by(0.3), rack=(Rack("another leg", (Joint("R-1", length(31.7, "ft")),)),))
    worse = _with_rack(_off_by(0.3), 25.0)

    assert mend_for(other, other.systems[0]).swap is None
    assert mend_for(worse, worse.systems[0]).swap is None


def test_a_pup_is_long_enough_to_be_had_and_as_long_as_its_make_up_loss_wants() -> None:
    coupled = build_plan(PlanChoice((SystemChoice(coupled=True),)))
    long = change_part(coupled, 0, PartKind.PUMP, length=length(21.6, "ft"))

    pup = mend_for(long, long.systems[0]).pup

    assert pup is not None
    assert in_unit(pup, "ft") == pytest.approx(3.0 + 0.18, abs=0.001)
    assert mend_for(_off_by(1.9), _off_by(1.9).systems[0]).pup is None


def test_a_leg_too_long_for_any_mark_is_to_get_shorter_joints() -> None:
    plan = change_y_block(SINGLE, 0, swivel_length=length(100, "ft"))

    assert _advice(plan) == "For mid stroke use joints above the mark that are 96.40 ft shorter in all."


def test_a_leg_a_little_too_short_for_any_mark_is_to_get_longer_joints() -> None:
    lowest = SINGLE.systems[0].bypass.joints[0]
    room = lowest.length - SINGLE.systems[0].datum.below_top
    marked = change_system(SINGLE, 0, datum=Mark(lowest.tag, lowest.length))
    pump = length(19.6, "ft") + room

    assert _advice(change_part(marked, 0, PartKind.PUMP, length=pump)) == (
        "For mid stroke use joints above the mark that are 1.00 ft longer in all."
    )


def test_no_joint_is_named_that_leaves_the_legs_open_and_no_pup_that_nobody_makes() -> None:
    open_still = _with_rack(_off_by(2.0), 32.0)
    far = _off_by(15.0)

    assert mend_for(open_still, open_still.systems[0]).swap is None
    assert mend_for(far, far.systems[0]).pup is None
    assert "pup joint" not in _advice(far)


@given(st.floats(-3, 3).map(lambda number: round(number, 2)), st.floats(28, 33).map(lambda it: round(it, 2)))
@settings(max_examples=30, deadline=None)
def test_doing_what_is_told_gives_the_extension_that_was_told(feet: float, racked_ft: float) -> None:
    plan = _with_rack(_off_by(feet), racked_ft)
    system = plan.systems[0]
    mend = mend_for(plan, system)
    assume(mend.mark is not None)

    assert mend.mark is not None
    marked = change_system(plan, 0, datum=mend.mark).systems[0]
    assert swivel_extension(marked).si == pytest.approx(mid_stroke(marked).si, abs=1e-6)
    if mend.swap is not None:
        joints = tuple(mend.swap.into if joint == mend.swap.out else joint for joint in system.bypass.joints)
        swapped = change_bypass(plan, 0, joints=joints).systems[0]
        assert swivel_extension(swapped).si == pytest.approx(mend.swap.extension.si, abs=1e-9)
        assert abs(swivel_extension(swapped).si - mid_stroke(system).si) < abs(mend.off.si)


def test_what_is_built_is_neither_moved_nor_swapped_and_a_leg_that_is_whole_says_so() -> None:
    plan = _with_rack(_off_by(0.3), 31.7, 31.68)
    system = plan.systems[0]

    begun = advice(plan, system, LENGTH_TOLERANCE, Built(places=2))
    marked = advice(plan, system, LENGTH_TOLERANCE, Built(places=2, lifts=1, marked=True))
    whole = advice(plan, system, LENGTH_TOLERANCE, Built(places=3, lifts=1, marked=True))

    assert "move the mark 0.30 ft down" in begun
    assert "swap S1-B3 for" in begun
    assert marked.startswith("For mid stroke swap S1-B3 for")
    assert whole == (
        "The swivel stands 0.30 ft from mid stroke, and all joints of this leg are in the hole: only backing "
        "out changes that."
    )
