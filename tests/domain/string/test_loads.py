"""What supports can see: the greatest of before and after, against the weakest of what sees it."""

from dataclasses import replace
from functools import cache

import pytest

from app.domain.compiler.compile import compile_plan
from app.domain.quantities import Mass, in_unit, show
from app.domain.string.loads import Change, Load, greatest, loads, tightest
from app.domain.string.simulator import Trace, simulate
from app.domain.string.supports import SupportKind
from tests.domain.compiler.test_practice import plan_named


@cache
def trace() -> Trace:
    plan = plan_named("dual")
    return simulate(plan, compile_plan(plan)[0])


def loads_at(key: str) -> dict[SupportKind, Load]:
    moment = next(moment for moment in trace().moments if moment.step.key == key)
    return {load.support.kind: load for load in loads(trace().plan, moment)}


def test_slings_and_lifting_clamp_see_the_same_part_and_the_weaker_one_rates_it() -> None:
    load = loads_at("GA-L1/MTR-L1/pick-up-pump-leg-part")[SupportKind.SLINGS]

    assert {rating.gear for rating in load.ratings} == {"LG-SG", "LC-540"}
    assert load.weakest is not None
    assert load.weakest.gear == "LC-540"


def test_a_load_is_what_hangs_and_its_margin_what_the_wll_leaves() -> None:
    load = loads_at("GA-L1/MTR-L1/pick-up-pump-leg-part")[SupportKind.SLINGS]

    assert load.margin is not None
    assert load.margin_share is not None
    assert in_unit(load.weight, "lb") == pytest.approx(1650 + 60)
    assert in_unit(load.margin, "lb") == pytest.approx(6500 - 1710)
    assert load.margin_share.si == pytest.approx(1 - 1710 / 6500)


@pytest.mark.parametrize(
    ("key", "held_by", "rests_on"),
    [
        ("BL-01/set-slips", "slips LG-SL-287 on BL-01", "rotary table"),
        ("BL-01/fit-dog-collar", "dog collar LG-DC-287 on BL-01", "slips"),
        ("GA-L1/MTR-L1/pick-up-pump-leg-part", "slings LG-SG, LC-540 on MTR-L1", "derrick"),
        ("GA-U1/MTR-U1/land-on-support-clamp", "support clamp on BU-01", "bypass leg"),
        ("TH-1/land-tubing-hanger", "tubing hanger on TH-1", "wellhead"),
    ],
)
def test_a_load_says_what_holds_it_by_which_gear_on_which_part_and_where_that_rests(
    key: str, held_by: str, rests_on: str
) -> None:
    told = {(load.held_by, load.rests_on) for load in loads_at(key).values()}

    assert (held_by, rests_on) in told


def test_a_nubbin_rates_what_the_elevators_hold_by_it_and_a_joint_without_one_is_held_by_them_alone() -> None:
    by_nubbin = loads_at("BL-01/set-slips")[SupportKind.ELEVATORS]
    plan = trace().plan
    first = plan.production.tubing.joints[0].tag
    by_coupling = next(
        load
        for moment in trace().moments
        for load in loads(plan, moment)
        if load.support.kind is SupportKind.ELEVATORS and load.support.on == first
    )

    assert {rating.gear for rating in by_nubbin.ratings} == {"LG-EL-287", "LG-NB-287"}
    assert {rating.gear for rating in by_coupling.ratings} == {"LG-EL-350"}


def test_a_support_clamp_whose_type_has_no_wll_is_seen_and_never_the_tightest() -> None:
    plan = trace().plan
    unrated = replace(plan, clamp_types=tuple(replace(kind, wll=None) for kind in plan.clamp_types))
    (moment,) = (item for item in trace().moments if item.step.key == "GA-U1/MTR-U1/land-on-support-clamp")

    found = loads(unrated, moment)

    (clamp,) = (load for load in found if load.support.kind is SupportKind.SUPPORT_CLAMP)
    assert (clamp.ratings, clamp.weakest, clamp.margin) == ((), None, None)
    assert loads_at(moment.step.key)[SupportKind.SUPPORT_CLAMP].weakest is not None
    assert tightest(found) != clamp


def test_a_step_that_sets_a_support_has_it_come_on_beside_the_old_one() -> None:
    set_down = loads_at("BL-01/set-slips")

    assert set_down[SupportKind.ELEVATORS].change is Change.NONE
    assert set_down[SupportKind.SLIPS].change is Change.COMES_ON
    assert show(set_down[SupportKind.SLIPS].weight, "kg") == show(
        set_down[SupportKind.ELEVATORS].weight, "kg"
    )


def test_a_support_that_comes_off_is_still_seen_with_what_it_held() -> None:
    pulled = loads_at("BL-01/pull-slips")

    assert pulled[SupportKind.SLIPS].change is Change.COMES_OFF
    assert pulled[SupportKind.SLIPS].weight == pulled[SupportKind.ELEVATORS].weight


def test_the_load_of_a_step_that_joins_two_legs_is_the_greater_one_after_it() -> None:
    moment = next(
        moment for moment in trace().moments if moment.step.key == "YB-L/DIS-L1/bolt-discharge-head"
    )
    held = {hanging.leg: hanging.weight_kg for hanging in moment.after}

    found = loads(trace().plan, moment)

    heaviest = greatest(found)
    assert heaviest is not None
    assert heaviest.weight == Mass(max(held.values()))


def test_a_dog_collar_is_never_the_greatest_and_an_unrated_support_never_the_tightest() -> None:
    for moment in trace().moments:
        found = loads(trace().plan, moment)
        heaviest, least = greatest(found), tightest(found)
        assert heaviest is None or heaviest.support.kind is not SupportKind.DOG_COLLAR
        assert least is None or least.weakest is not None


def test_nothing_hangs_while_the_deck_is_at_work() -> None:
    found = loads(trace().plan, trace().moments[0])

    assert found == ()
    assert greatest(found) is None
    assert tightest(found) is None
