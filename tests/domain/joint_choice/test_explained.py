"""A choice of joints in words that somebody on the deck can act on."""

from dataclasses import replace

import pytest

from app.domain.built import Built
from app.domain.joint_choice.choice import JointChoice, choose_joints
from app.domain.joint_choice.explained import explain, short_words
from app.domain.joint_choice.shortfalls import Shortfall, ShortfallKind
from app.domain.joint_choice.standing import clearances, standings
from app.domain.legs import joints_from_mark, lifted_together
from app.domain.plan import Plan
from app.domain.quantities import in_unit, length
from app.domain.stands import SAME_HEIGHT
from tests.domain.checks.changes import change_bypass, change_system
from tests.domain.joint_choice.racks import UPPER, with_rack
from tests.plan_builder import PlanChoice, SystemChoice, build_plan

SHORT = build_plan(PlanChoice((SystemChoice(), SystemChoice(swivel_share=0.5))))
COUPLED = build_plan(PlanChoice((SystemChoice(), SystemChoice(coupled=True))))


def _mended() -> tuple[Plan, JointChoice]:
    """Return a plan whose upper leg has one joint too short, and the choice that mends it."""
    joints = SHORT.systems[UPPER].bypass.joints
    short = replace(joints[-1], length=length(29.4, "ft"))
    plan = with_rack(change_bypass(SHORT, UPPER, joints=(*joints[:-1], short)), UPPER, [31.4])
    return plan, choose_joints(plan, UPPER)


def test_what_comes_from_the_rack_and_what_goes_back_is_said_first() -> None:
    plan, choice = _mended()

    first, second, *_ = explain(plan, UPPER, choice)

    assert first.startswith("From the mark up: S2-B1, ")
    assert first.endswith("From the rack: R-1; back on the rack: S2-B3.")
    assert second == (
        "The swivel comes out 0.50 ft, 0.00 ft from mid stroke at 0.50 ft; free are 0.1 ft to 0.90 ft."
    )


def test_a_leg_that_is_proven_best_says_against_what_and_one_that_is_not_says_its_gap() -> None:
    plan, choice = _mended()
    cut_off = replace(choice, proven=False, gap=length(0.25, "ft"), seconds=5.0)
    as_near = replace(cut_off, gap=length(0, "ft"))

    proven, unproven, tied = (explain(plan, UPPER, told)[2] for told in (choice, cut_off, as_near))

    assert proven.startswith("No other leg from the 4 joints is nearer to mid stroke by 0.01 ft")
    assert unproven == (
        "The search through 4 joints was stopped after 5 s; another leg might be nearer to mid stroke by up "
        "to 0.25 ft."
    )
    assert "No other leg is nearer to mid stroke by 0.01 ft" in tied
    assert "one as near may have fewer joints" in tied


def test_the_leg_stands_beside_each_lift_higher_than_the_lift_and_within_reach() -> None:
    plan, choice = _mended()
    assert choice.leg is not None

    stands = standings(choice.wanted, choice.leg)

    highest = max(in_unit(stand.over_table, "ft") for stand in stands)
    whole = choice.leg.heights[-1] + choice.wanted.sub
    for stand, asked in zip(stands, choice.wanted.stands, strict=True):
        assert stand.over_table >= min(asked.needed or whole, whole) - asked.table - SAME_HEIGHT
    assert highest <= in_unit(plan.rig.reach, "ft")
    assert f"at most {highest:.2f} ft over the table, beside S2-" in explain(plan, UPPER, choice)[3]


def test_a_leg_that_is_built_to_its_top_has_no_lift_left_beside_it() -> None:
    system = SHORT.systems[UPPER]
    whole = Built(len(joints_from_mark(system)), len(lifted_together(system)), marked=True)

    told = explain(SHORT, UPPER, choose_joints(SHORT, UPPER, built=whole))

    assert "All that was lifted beside the leg is in: no lift is left that it must stand higher than." in told


def test_flush_joints_have_no_couplings_and_others_say_how_clear_the_nearest_is() -> None:
    plan, choice = _mended()
    coupled = choose_joints(COUPLED, UPPER)
    assert coupled.leg is not None

    gaps = [clear.gap.si for clear in clearances(coupled.wanted, coupled.leg)]

    assert explain(plan, UPPER, choice)[4] == "The joints are flush: no coupling can come under a clamp."
    assert min(gaps) >= 0
    assert "No coupling lies under a clamp; the nearest ends" in explain(COUPLED, UPPER, coupled)[4]


def test_a_coupled_leg_without_clamps_says_that_none_grips_it() -> None:
    lowest = build_plan(PlanChoice((SystemChoice(coupled=True),)))
    plan = change_system(lowest, 0, clamps=())

    assert "No clamp grips the leg over its mark." in explain(plan, 0, choose_joints(plan, 0))


def test_joints_that_only_change_places_are_said_to() -> None:
    plan, choice = _mended()
    assert choice.leg is not None
    planned = plan.systems[UPPER].bypass.joints
    turned = replace(choice.leg, joints=(planned[0], *planned[:0:-1]), racked=(), freed=())

    first = explain(plan, UPPER, replace(choice, leg=turned))[0]

    assert first.endswith("The joints of the plan, in another order.")


def test_a_search_that_found_nothing_in_time_says_so_and_one_that_is_finished_says_what_is_short() -> None:
    plan, choice = _mended()
    nothing = replace(choice, leg=None, proven=False, seconds=5.0)
    short = replace(choice, leg=None, short=(Shortfall(ShortfallKind.TOO_SHORT, "", length(2.5, "ft")),))

    assert explain(plan, UPPER, nothing) == (
        "No leg was found in 5 s, and none is ruled out. Give the search more time.",
    )
    assert explain(plan, UPPER, short) == (
        "No choice from 4 joints closes the legs. The nearest is short of this:",
        "The leg stays 2.50 ft too short. Bring a joint or pup joint that is 2.50 ft longer, or move the "
        "mark 2.50 ft down.",
    )


@pytest.mark.parametrize("kind", ShortfallKind)
def test_whatever_is_short_says_by_how_much_and_what_would_mend_it(kind: ShortfallKind) -> None:
    words = short_words(SHORT.systems[UPPER], Shortfall(kind, "clamp or lift", length(1.25, "ft")))

    assert "1.25 ft" in words
    assert words.count(".") >= 3
    assert ("clamp or lift" in words) == (
        kind in (ShortfallKind.REACH, ShortfallKind.HELD, ShortfallKind.COUPLING)
    )
