"""The weight indicator beside what should hang: what is near, what is far off, and what is asked then."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.as_built_weights import weights
from app.domain.at_step.hook_load import HookLoad
from app.domain.at_step.weight_reading import (
    LEAST_OFF,
    allowed_off,
    expected_at,
    friction_in_words,
    hook_load_result,
    weight_result,
    weights_read,
)
from app.domain.commands import CorrectReading, Entered, FinishStep
from app.domain.figures.at_step import figures_before, figures_of
from app.domain.install_record import ReadingVerdict
from app.domain.operations import Operation
from app.domain.quantities import Angle, Mass, Ratio, in_unit, length, mass, read_quantity
from app.domain.record_values import Amount
from app.domain.refusals import ReadingError
from app.domain.run import Run
from app.domain.sheet import ReadingKind
from app.domain.well import SurveyPoint, WeightIndicator
from tests.domain.checks.changes import change_well
from tests.domain.job import DRILLER, after, before, do, first, plan, refused, sheet

LOWERED = first(Operation.LOWER_STRING, "P-002")
UNREAD = first(Operation.LOWER_STRING, "P-001")


def read(value: str, unit: str = "lb", *, confirmed: bool = False) -> FinishStep:
    return FinishStep(LOWERED, (Entered("hook load", value, unit, confirmed=confirmed),))


def expected_lb(run: Run) -> float:
    return in_unit(expected_at(run, run.sheet.steps[LOWERED - 1]).expected, "lb")


def station(depth_ft: float, inclination_deg: float) -> SurveyPoint:
    return SurveyPoint(length(depth_ft, "ft"), Angle(math.radians(inclination_deg)), Angle(0.0))


def leaning() -> HookLoad:
    """Return 50 t of which fluid takes off 6, the wall 8 and friction 3, under blocks of 5."""
    return HookLoad(mass(50, "t"), mass(44, "t"), mass(5, "t"), on_wall=mass(8, "t"), drag=mass(3, "t"))


def hanging(tonnes: float) -> HookLoad:
    return HookLoad(mass(tonnes, "t"), mass(tonnes, "t"), mass(5, "t"))


def test_it_is_asked_for_once_every_so_many_joints() -> None:
    asked = [
        step.parts[-1]
        for step in sheet().steps
        for wanted in step.readings
        if wanted.kind is ReadingKind.HOOK_LOAD
    ]

    assert asked == ["P-002", "P-004", "P-006", "P-008"]


def test_a_step_is_closed_without_it() -> None:
    run = do(before(LOWERED), FinishStep(LOWERED), DRILLER)

    assert run.is_done(LOWERED)
    assert weights_read(run) == ()


def test_a_blank_one_is_none() -> None:
    run = do(before(LOWERED), read(" "), DRILLER)

    assert run.done[LOWERED].readings == ()


def test_a_reading_near_what_should_hang_is_recorded_as_typed() -> None:
    run = before(LOWERED)

    run = do(run, read(f"{expected_lb(run):.0f}"), DRILLER)

    (found,) = weights_read(run)
    assert found.step.number == LOWERED
    assert found.result.verdict is ReadingVerdict.IN_WINDOW
    assert found.read.typed == f"{expected_lb(run):.0f} lb"


@pytest.mark.parametrize(
    ("factor", "verdict"), [(0.5, "below the window"), (1.0, "in window"), (1.5, "above the window")]
)
def test_the_record_tells_a_reading_beside_what_should_have_hung(factor: float, verdict: str) -> None:
    due = expected_lb(before(LOWERED))

    run = do(before(LOWERED), read(f"{due * factor:.0f}", confirmed=True), DRILLER)

    (told,) = weights(run)
    assert (told.step, told.by, told.verdict) == (LOWERED, DRILLER.titled, verdict)
    assert told.read == Amount(f"{due * factor:.0f}", "lb")
    assert told.expected == Amount(f"{due:.0f}", "lb")
    (found,) = weights_read(run)
    limits = f"{told.low.value} {told.low.unit} to {told.high.value} {told.high.unit}"
    assert limits == found.result.limits_text


@pytest.mark.parametrize(("factor", "meaning"), [(0.8, "stand on something"), (1.2, "be stuck")])
def test_a_reading_far_off_is_asked_about_and_says_what_it_can_mean(factor: float, meaning: str) -> None:
    run = before(LOWERED)

    refusal = refused(run, read(f"{expected_lb(run) * factor:.0f}"), DRILLER)

    assert isinstance(refusal, ReadingError)
    assert refusal.question
    assert refusal.rule == "weight-far-off"
    assert meaning in str(refusal)


def test_a_reading_far_off_that_was_read_twice_stays_as_a_caution() -> None:
    run = do(before(LOWERED), read("14000", confirmed=True), DRILLER)

    (found,) = weights_read(run)
    assert found.result.verdict is ReadingVerdict.BELOW_WINDOW
    assert "Stop lowering" in found.result.advice


def test_what_should_hang_stands_beside_the_step_before_and_after_it_is_read() -> None:
    run = before(LOWERED)
    step = run.sheet.steps[LOWERED - 1]
    read_so = do(run, read("14000", confirmed=True), DRILLER)

    (expected,) = figures_before(run, step)
    (weight,) = figures_of(read_so, step)

    assert in_unit(expected.value, "lb") == pytest.approx(expected_lb(run))
    assert weight.verdict is ReadingVerdict.BELOW_WINDOW
    assert not figures_before(run, run.sheet.steps[UNREAD - 1])


def test_a_corrected_reading_is_asked_about_too() -> None:
    run = before(LOWERED)
    run = do(run, read(f"{expected_lb(run):.0f}"), DRILLER)

    slip = CorrectReading(LOWERED, Entered("hook load", "1543", "lb"), "misread")

    assert refused(run, slip, DRILLER).rule == "weight-far-off"


def test_it_cannot_be_given_where_it_is_not_asked_for() -> None:
    given_anyway = FinishStep(UNREAD, (Entered("hook load", "12000", "lb"),))

    assert "asks for no reading" in str(refused(before(UNREAD), given_anyway, DRILLER))


def test_a_light_string_may_be_off_by_what_an_indicator_can_be_read_to() -> None:
    assert allowed_off(plan(), hanging(1)) == LEAST_OFF


def test_a_heavy_string_may_be_off_by_the_share_of_the_plan_blocks_left_out() -> None:
    own = replace(plan(), weight_indicator=WeightIndicator(5, read_quantity("4 %", Ratio)))
    silent = replace(plan(), weight_indicator=None)

    assert in_unit(allowed_off(own, hanging(50)), "t") == pytest.approx(2)
    assert in_unit(allowed_off(silent, hanging(50)), "t") == pytest.approx(5)


def test_who_set_the_share_is_told() -> None:
    own = weight_result(plan(), hanging(50), mass(55, "t")).inputs[-1]
    common = weight_result(replace(plan(), weight_indicator=None), hanging(50), mass(55, "t")).inputs[-1]

    assert (own.origin, common.origin) == ("plan", "assumed")


def test_it_is_said_whether_friction_is_counted() -> None:
    surveyed = change_well(plan(), survey=(station(0, 0), station(1000, 40)))
    rubbing = WeightIndicator(5, friction=read_quantity("25 %", Ratio))

    counted = friction_in_words(replace(surveyed, weight_indicator=rubbing))
    straight = replace(change_well(plan(), survey=()), weight_indicator=rubbing)

    assert counted.startswith("Friction of 25 % on the wall is counted")
    for left_out in (straight, surveyed, replace(surveyed, weight_indicator=None)):
        assert friction_in_words(left_out).startswith("Friction is left out")


def test_what_is_expected_says_what_is_assumed_of_the_hole() -> None:
    surveyed = change_well(plan(), survey=(station(0, 0), station(1000, 40)))
    rubbing = replace(surveyed, weight_indicator=WeightIndicator(5, friction=read_quantity("25 %", Ratio)))
    load = leaning()

    told = [
        [(item.name, item.text, item.origin) for item in hook_load_result(one, load).inputs]
        for one in (change_well(plan(), survey=()), surveyed, rubbing)
    ]

    assert ("hole", "straight down", "assumed") in told[0]
    assert ("friction on the wall", "left out", "assumed") in told[1]
    assert ("friction on the wall", "25 %", "plan") in told[2]
    assert all(("held back by friction going in", "6614 lb", "step") in one for one in told[2:])
    assert all(("carried by the wall where the hole leans", "17637 lb", "step") in one for one in told[1:])
    # 44 - 8 + 5 t hang still.
    assert in_unit(hook_load_result(rubbing, load).value, "t") == pytest.approx(41)


def test_a_reading_on_the_way_in_may_be_lower_by_what_friction_holds_back() -> None:
    load = leaning()
    own = replace(plan(), weight_indicator=WeightIndicator(5, read_quantity("10 %", Ratio)))

    result = weight_result(own, load, mass(41, "t"))

    # A tenth of the 36 t that pull along the hole, over 41 t and under 38 t.
    limits = [in_unit(limit, "t") for limit in (result.low, result.high) if limit is not None]
    assert limits == pytest.approx([34.4, 44.6])


def test_elevators_alone_or_with_another_are_told() -> None:
    result = hook_load_result(plan(), expected_at(after(LOWERED), sheet().steps[LOWERED - 1]))

    assert result.advice == "The elevators hold it alone."
    assert "may show less" in hook_load_result(plan(), replace(hanging(1), shared=True)).advice


@given(st.floats(0.0, 200.0), st.floats(0.0, 300.0), st.sampled_from(["t", "lb", "kg", "short ton"]))
@settings(max_examples=40, deadline=None)
def test_the_unit_of_a_reading_changes_no_verdict(tonnes: float, read_t: float, unit: str) -> None:
    si = Mass(read_t * 1000.0)

    typed = mass(in_unit(si, unit), unit)

    assert (
        weight_result(plan(), hanging(tonnes), typed).verdict
        is weight_result(plan(), hanging(tonnes), si).verdict
    )
