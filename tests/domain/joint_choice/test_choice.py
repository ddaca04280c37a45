"""The choice of joints: as good as trying everything, true once taken, and plain where nothing does."""

from dataclasses import replace

import pytest
from hypothesis import event, given, settings

from app.domain.built import Built
from app.domain.checks.space_out import closure_of
from app.domain.closing_legs import Closing
from app.domain.gear import Clamp
from app.domain.joint_choice.choice import Progress, choose_joints
from app.domain.joint_choice.formulation import CLOSING, CLOSING_WEIGHT
from app.domain.joint_choice.shortfalls import ShortfallKind
from app.domain.joint_choice.taken import with_leg
from app.domain.joint_choice.wanted import beyond_mending, leg_wanted
from app.domain.parts import PartKind
from app.domain.plan import Mark, Plan
from app.domain.quantities import Length, in_unit, length
from tests.domain.checks.changes import change_bypass, change_clamp_type, change_part, change_system
from tests.domain.joint_choice.every_leg import SAME_M, every_leg, missed_m, rank
from tests.domain.joint_choice.racks import UPPER, small_racks, with_rack, with_reach
from tests.plan_builder import PlanChoice, SystemChoice, build_plan

SINGLE = build_plan(PlanChoice((SystemChoice(),)))
ONE_MM = 0.001


def _off_by(feet: float) -> Plan:
    return change_part(SINGLE, 0, PartKind.PUMP, length=length(round(18.6 + feet, 2), "ft"))


@given(small_racks())
@settings(max_examples=25, deadline=None)
def test_the_solver_is_as_good_as_trying_every_leg(plan: Plan) -> None:
    system = plan.systems[UPPER]
    wanted = leg_wanted(plan, system)
    tried = list(every_leg(system, wanted))
    fit = [leg for leg in tried if missed_m(wanted, leg) <= SAME_M]

    choice = choose_joints(plan, UPPER)

    event(f"fits: {bool(fit)}")
    assert choice.proven
    if list(beyond_mending(wanted)):
        assert choice.leg is None
        assert choice.short
    elif fit:
        assert choice.leg is not None
        assert missed_m(wanted, choice.leg) <= SAME_M
        assert rank(wanted, choice.leg) == min(rank(wanted, leg) for leg in fit)
    else:
        assert choice.leg is None
        least_m = min(missed_m(wanted, leg, CLOSING_WEIGHT) for leg in tried)
        told_m = sum(short.by.si * (CLOSING_WEIGHT if short.kind in CLOSING else 1) for short in choice.short)
        assert told_m == pytest.approx(least_m, abs=ONE_MM)


def test_a_leg_that_stands_at_mid_stroke_is_left_as_it_is() -> None:
    choice = choose_joints(with_rack(SINGLE, 0, [31.4, 30.9]), 0)

    assert choice.leg is not None
    assert choice.leg.racked == choice.leg.freed == ()
    assert choice.leg.off.si == pytest.approx(0, abs=1e-9)


def test_a_joint_of_the_rack_mends_a_leg_that_does_not_close() -> None:
    plan = with_rack(_off_by(1.5), 0, [29.0, 32.88, 33.5])

    choice = choose_joints(plan, 0)
    assert choice.leg is not None
    taken = with_leg(plan, 0, choice.leg)

    assert choice.leg.racked == ("R-2",)
    assert len(choice.leg.freed) == 1
    assert closure_of(taken, 0).is_at_mid
    assert [joint.tag for rack in taken.rack for joint in rack.joints] == ["R-1", "R-3", *choice.leg.freed]


def test_runners_up_are_other_sets_of_joints_and_none_is_better() -> None:
    plan = with_rack(_off_by(1.5), 0, [29.0, 32.88, 33.0, 32.8, 33.5])

    choice = choose_joints(plan, 0)

    assert choice.leg is not None
    legs = (choice.leg, *choice.runners_up)
    assert len({frozenset(joint.tag for joint in leg.joints[1:]) for leg in legs}) == 3
    ranks = [rank(choice.wanted, leg) for leg in legs]
    assert ranks == sorted(ranks)


def test_where_no_other_set_does_there_are_no_runners_up_and_that_is_said() -> None:
    choice = choose_joints(SINGLE, 0)

    assert choice.leg is not None
    assert choice.runners_up == ()
    assert choice.all_shown


def test_a_rack_that_is_short_says_by_how_much() -> None:
    choice = choose_joints(with_rack(_off_by(3.0), 0, [31.0]), 0)

    (short,) = choice.short
    assert choice.leg is None
    assert short.kind is ShortfallKind.TOO_SHORT
    assert in_unit(short.by, "ft") == pytest.approx(2.6, abs=0.001)


def test_a_rack_of_joints_all_too_long_says_by_how_much() -> None:
    choice = choose_joints(_off_by(-2.0), 0)

    (short,) = choice.short
    assert short.kind is ShortfallKind.TOO_LONG
    assert in_unit(short.by, "ft") == pytest.approx(1.1, abs=0.01)


def test_a_rig_that_is_too_low_says_by_how_much_and_beside_which_lift() -> None:
    choice = choose_joints(with_reach(build_plan(), 45), 1)

    assert choice.leg is None
    assert {short.kind for short in choice.short} == {ShortfallKind.REACH}
    assert all(short.at.startswith("S2-") for short in choice.short)


def test_a_coupling_that_comes_under_a_clamp_whatever_is_taken_is_named_with_its_clamp() -> None:
    coupled = build_plan(PlanChoice((SystemChoice(coupled=True),)))
    tall = change_clamp_type(coupled, "bypass clamp", height=length(12, "ft"))

    choice = choose_joints(tall, 0)

    assert choice.leg is None
    assert {short.kind for short in choice.short} == {ShortfallKind.COUPLING}
    assert all("bypass clamp at the base of S1-" in short.at for short in choice.short)


def test_a_mark_that_no_joint_is_long_enough_for_is_told() -> None:
    plan = change_system(SINGLE, 0, datum=Mark("S1-B1", length(35, "ft")))

    (short,) = choose_joints(plan, 0).short

    assert short.kind is ShortfallKind.MARK
    assert in_unit(short.by, "ft") == pytest.approx(35 - 31.4, abs=0.3)


def test_a_joint_that_a_clamp_sits_on_stays_where_it_is_and_so_does_what_is_under_it() -> None:
    plan = with_rack(_off_by(1.5), 0, [32.88])
    system = plan.systems[0]
    first, _, third = (joint.tag for joint in system.bypass.joints)
    low = Clamp(first, "bypass clamp", below_top=length(3, "ft"))
    high = Clamp(third, "bypass clamp", below_top=length(3, "ft"))

    free = choose_joints(change_system(plan, 0, clamps=(*system.clamps, low)), 0)
    held = choose_joints(change_system(plan, 0, clamps=(*system.clamps, high)), 0)

    assert free.leg is not None
    assert [joint.tag for joint in free.leg.joints] == [first, "R-1", third]
    assert held.leg is None
    assert [short.kind for short in held.short] == [ShortfallKind.TOO_SHORT]


def test_what_is_built_stays_and_only_lifts_that_are_still_to_come_are_looked_at() -> None:
    plan = with_rack(_off_by(1.5), 0, [29.0, 32.88, 33.5])
    first, second, _ = (joint.tag for joint in plan.systems[0].bypass.joints)
    low = with_reach(plan, 60)

    choice = choose_joints(plan, 0, built=Built(places=2))
    before, later = (choose_joints(low, 0, built=Built(places=3, lifts=lifts)) for lifts in (0, 1))

    assert choice.leg is not None
    assert [joint.tag for joint in choice.leg.joints] == [first, second, "R-2"]
    # Beside the motor the whole leg is beyond reach; once the pump leg was lowered it is not.
    assert ShortfallKind.REACH in {short.kind for short in before.short}
    assert ShortfallKind.REACH not in {short.kind for short in later.short}


def test_joints_under_the_mark_stay_where_they_are() -> None:
    system = SINGLE.systems[0]
    first, *others = system.bypass.joints
    under = replace(first, tag="UNDER", serial="SN-UNDER")
    plan = with_rack(change_bypass(SINGLE, 0, joints=(under, first, *others)), 0, [31.4])

    choice = choose_joints(plan, 0)
    assert choice.leg is not None
    taken = with_leg(plan, 0, choice.leg)

    assert taken.systems[0].bypass.joints[0] == under
    assert "UNDER" not in {candidate.joint.tag for candidate in choice.wanted.candidates}


def test_a_tolerance_of_nothing_is_taken_as_a_millimetre() -> None:
    plan = change_system(SINGLE, 0, closing=Closing(length_tolerance=Length(0.0)))

    assert leg_wanted(plan, plan.systems[0]).step.si == pytest.approx(0.001)


def test_a_search_without_time_finds_nothing_and_rules_nothing_out() -> None:
    choice = choose_joints(
        with_rack(_off_by(1.5), 0, [29.0 + step / 7 for step in range(40)]), 0, seconds=0.0
    )

    assert choice.leg is None
    assert not choice.proven
    assert choice.short == ()


def test_a_search_tells_how_far_it_is() -> None:
    told: list[Progress] = []
    plan = with_rack(build_plan(), UPPER, [round(28 + (7 * step % 41) / 10.3, 3) for step in range(60)])

    choose_joints(plan, UPPER, on_progress=told.append)

    assert told
    assert all(0 <= progress.seconds < 60 for progress in told)
    assert told[-1].leg is not None
    assert all(progress.gap.si >= 0 for progress in told)
