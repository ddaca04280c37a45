"""The closure of a system as figures: extension, limits, tolerance, and what the well changes."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.checks.closure import check_closure
from app.domain.checks.loads import hanging_below, main_cable_weight, pump_leg_weight, run_weight
from app.domain.checks.space_out import MEASURED, ClosureVerdict, borne_at_mark, closure_of, closures
from app.domain.closing_legs import Closing
from app.domain.legs import swivel_extension
from app.domain.measured import as_measured, of_lengths
from app.domain.parts import PartKind
from app.domain.plan import Plan
from app.domain.quantities import (
    Angle,
    Expansion,
    Length,
    Temperature,
    in_unit,
    length,
    quantity,
    read_quantity,
    show,
    typed_unit,
)
from app.domain.well import SurveyPoint
from tests.domain.checks.changes import change_cable, change_part, change_system, change_well
from tests.plan_builder import PlanChoice, SystemChoice, build_plan
from tests.plan_stock import TODAY
from tests.strategies import plans

SINGLE = build_plan(PlanChoice((SystemChoice(),)))
DUAL = build_plan()


def _closing(plan: Plan, known: Closing) -> Plan:
    return change_system(plan, 0, closing=known)


def test_a_closure_says_the_extension_its_limits_and_what_is_left_to_the_nearer_one() -> None:
    closure = closure_of(SINGLE, 0)

    figures = (closure.extension, closure.low, closure.high, closure.mid, closure.margin)
    assert [in_unit(figure, "ft") for figure in figures] == pytest.approx([0.5, 0.1, 0.9, 0.5, 0.4], abs=1e-9)
    assert closure.verdict is ClosureVerdict.CLOSES
    assert closure.marks_for == "base clamp"
    assert "leave mark and joints as they are" in closure.advice


def test_a_margin_is_negative_where_the_legs_do_not_meet() -> None:
    plan = change_part(SINGLE, 0, PartKind.PUMP, length=length(19.6, "ft"))

    closure = closure_of(plan, 0)

    assert in_unit(closure.margin, "ft") == pytest.approx(-0.6)
    assert closure.verdict is ClosureVerdict.OPEN


def test_each_length_is_off_by_the_hundredth_of_a_foot_of_common_practice_unless_the_plan_knows_better() -> (
    None
):
    closure = closure_of(SINGLE, 0)
    known = closure_of(_closing(SINGLE, Closing(length_tolerance=length(3, "mm"))), 0)

    assert len(closure.lengths) == 13
    assert in_unit(closure.worst_case, "ft") == pytest.approx(0.13)
    assert in_unit(closure.likely, "ft") == pytest.approx(13**0.5 * 0.01)
    assert in_unit(known.worst_case, "mm") == pytest.approx(39)


def test_measured_lengths_stand_in_the_place_of_planned_ones_and_say_so() -> None:
    lengths = {"S1-PUMP-1": length(18.7, "ft"), "S1-B2": length(31.3, "ft")}

    closure = closure_of(as_measured(SINGLE, lengths), 0, of_lengths(lengths).values)

    standings = {used.name: used.standing for used in closure.lengths}
    assert in_unit(closure.extension, "ft") == pytest.approx(0.5 + 0.1 - (31.3 - 31.4), abs=0.2)
    assert closure.extension == swivel_extension(as_measured(SINGLE, lengths).systems[0])
    assert closure.measured == 2
    assert [name for name, standing in standings.items() if standing == MEASURED] == ["S1-PUMP-1", "S1-B2"]


def test_legs_alike_in_steel_and_warmth_lengthen_alike() -> None:
    downhole = closure_of(SINGLE, 0).downhole

    assert downhole.by_warming.si == pytest.approx(0, abs=1e-12)
    assert downhole.pump_temperature == downhole.bypass_temperature > downhole.surface_temperature


def test_a_warmer_pump_leg_asks_for_more_of_the_swivel() -> None:
    warmth = Closing(
        pump_temperature=read_quantity("150 degF", Temperature),
        bypass_temperature=read_quantity("110 degF", Temperature),
    )

    downhole = closure_of(_closing(SINGLE, warmth), 0).downhole

    # 6.9e-6 per degF on 40 degF and the leg's 92.5 ft over the mark, worked out by hand.
    assert in_unit(downhole.by_warming, "ft") == pytest.approx(6.9e-6 * 40 * 92.5, rel=1e-6)
    assert downhole.extension > swivel_extension(SINGLE.systems[0])


def test_a_bypass_leg_of_a_steel_that_grows_more_asks_for_less() -> None:
    plan = _closing(SINGLE, Closing(bypass_expansion=quantity("9e-6", "per degF", Expansion)))

    assert closure_of(plan, 0).downhole.by_warming.si < 0


def test_the_string_that_hangs_below_an_upper_system_stretches_its_bypass_leg() -> None:
    lower, upper = closures(DUAL)

    assert upper.downhole.by_load.si < lower.downhole.by_load.si < 0
    assert upper.downhole.pull > lower.downhole.pull
    assert upper.marks_for == "support clamp"


def test_in_a_hole_that_leans_by_sixty_degrees_half_of_it_pulls() -> None:
    leaning = SurveyPoint(length(0, "ft"), Angle(math.radians(60)), Angle(0.0))

    straight, half = (closure_of(change_well(DUAL, survey=survey), 1).downhole for survey in ((), (leaning,)))

    assert half.pull.si == pytest.approx(straight.pull.si / 2)
    assert half.by_load.si == pytest.approx(straight.by_load.si / 2)


def test_a_pump_leg_that_stands_on_the_mark_pulls_too_and_a_cable_spliced_over_it_does_not() -> None:
    over = change_cable(DUAL, 0, splice_in=DUAL.production.tubing.name)

    spliced_below, spliced_over = borne_at_mark(DUAL, 1), borne_at_mark(over, 1)

    below = DUAL.systems[1].bypass.joints[0]
    hanging = hanging_below(DUAL, 1) + run_weight(
        DUAL.systems[1].bypass.weight, below.length - DUAL.systems[1].datum.below_top
    )
    crossover = DUAL.systems[1].crossover
    assert crossover is not None
    standing = pump_leg_weight(DUAL.systems[1])
    assert spliced_below.si == pytest.approx((hanging + crossover.weight + standing).si)
    assert (spliced_below - spliced_over).si == pytest.approx(main_cable_weight(DUAL.systems[0]).si)


def test_warmth_that_leaves_the_free_stroke_is_a_caution() -> None:
    plan = _closing(SINGLE, Closing(pump_temperature=read_quantity("900 degF", Temperature)))

    (problem,) = check_closure(plan, TODAY)

    assert problem.rule == "legs-close-narrowly"
    assert (
        "warm and loaded in the well it would want 1.01 ft. It stands at mid stroke already" in problem.text
    )


@given(plans(), st.sampled_from(["m", "mm", "ft", "in"]))
@settings(max_examples=15, deadline=None)
def test_the_unit_that_lengths_are_typed_in_changes_no_verdict(plan: Plan, unit: str) -> None:
    retyped = as_measured(plan, {tag: _typed(value, unit) for tag, value in _lengths(plan).items()})

    verdicts = [closure.verdict for closure in closures(retyped)]

    assert typed_unit(retyped.systems[0].parts[-1].length) == unit
    assert verdicts == [closure.verdict for closure in closures(plan)]


@given(plans())
@settings(max_examples=15, deadline=None)
def test_the_likely_error_is_never_more_than_the_worst(plan: Plan) -> None:
    for closure in closures(plan):
        assert 0 < closure.likely.si <= closure.worst_case.si


def _typed(value: Length, unit: str) -> Length:
    return read_quantity(show(value, unit, 9), Length)


def _lengths(plan: Plan) -> dict[str, Length]:
    parts = {part.tag: part.length for system in plan.systems for part in system.every_part()}
    return parts | {joint.tag: joint.length for system in plan.systems for joint in system.every_joint()}
