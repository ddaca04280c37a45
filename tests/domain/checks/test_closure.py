"""Whether the legs close, and what would close them."""

import pytest
from hypothesis import given, settings

from app.domain.checks.closure import check_closure, check_marks
from app.domain.checks.mending import mark_for
from app.domain.legs import mid_stroke, swivel_extension
from app.domain.parts import Joint, PartKind
from app.domain.plan import Mark, Plan
from app.domain.problems import Severity
from app.domain.quantities import Length, in_unit, length
from tests.domain.checks.changes import change_bypass, change_part, change_system, change_y_block
from tests.plan_builder import PlanChoice, SystemChoice, build_plan
from tests.plan_stock import TODAY
from tests.strategies import plans

ONE_MM = 0.001
SINGLE = build_plan(PlanChoice((SystemChoice(),)))


def _longer_pump_leg(by_ft: float) -> Plan:
    return change_part(SINGLE, 0, PartKind.PUMP, length=length(round(18.6 + by_ft, 2), "ft"))


def test_the_built_legs_close_at_mid_stroke() -> None:
    extension = swivel_extension(SINGLE.systems[0])

    assert in_unit(extension, "ft") == pytest.approx(0.5, abs=0.001)
    assert not list(check_closure(SINGLE, TODAY))


@pytest.mark.parametrize(("by_ft", "words"), [(0.41, "too short"), (-0.41, "too long")])
def test_legs_that_leave_the_free_stroke_do_not_close(by_ft: float, words: str) -> None:
    (problem,) = check_closure(_longer_pump_leg(by_ft), TODAY)

    assert problem.rule == "legs-do-not-close"
    assert words in problem.text


@pytest.mark.parametrize("by_ft", [0.39, -0.39])
def test_legs_that_close_but_may_be_measured_wrong_by_more_than_is_left_want_a_name(by_ft: float) -> None:
    (problem,) = check_closure(_longer_pump_leg(by_ft), TODAY)

    assert (problem.rule, problem.severity) == ("legs-close-narrowly", Severity.CAUTION)
    assert "13 lengths it may be 0.13 ft off, likely 0.04 ft" in problem.text


@pytest.mark.parametrize("by_ft", [0.26, -0.26])
def test_legs_that_stay_inside_the_free_stroke_whatever_the_tape_did_close(by_ft: float) -> None:
    assert not list(check_closure(_longer_pump_leg(by_ft), TODAY))


def test_a_mismatch_is_told_with_the_mark_and_the_pup_that_would_mend_it() -> None:
    (problem,) = check_closure(_longer_pump_leg(2.67), TODAY)

    assert "come out 3.17 ft" in problem.text
    assert "has 0.10 ft to 0.90 ft" in problem.text
    assert "add a pup joint of 2.67 ft above the mark, which adds 2.67 ft made up" in problem.text


def test_moving_the_mark_as_told_closes_the_legs_at_mid_stroke() -> None:
    broken = _longer_pump_leg(2.67)
    system = broken.systems[0]

    mark = mark_for(system, mid_stroke(system))
    assert mark is not None
    mended = change_system(broken, 0, datum=mark)

    assert swivel_extension(mended.systems[0]).si == pytest.approx(mid_stroke(system).si, abs=ONE_MM)
    assert not list(check_closure(mended, TODAY))


@given(plans())
@settings(max_examples=40, deadline=None)
def test_the_mark_for_the_extension_that_is_there_is_the_mark_that_is_there(plan: Plan) -> None:
    for system in plan.systems:
        mark = mark_for(system, swivel_extension(system))

        assert mark is not None
        height = _height(system.bypass.joints, mark) - _height(system.bypass.joints, system.datum)
        # Where a joint ends and the next begins both names are right.
        loss = system.bypass.make_up_loss.si
        assert min(abs(height), abs(abs(height) - loss)) == pytest.approx(0, abs=ONE_MM)


def test_a_leg_far_too_short_for_any_mark_is_to_get_longer_joints() -> None:
    joints = SINGLE.systems[0].bypass.joints[-1:]
    short = change_system(
        change_bypass(SINGLE, 0, joints=joints), 0, datum=Mark(joints[0].tag, length(1, "ft"))
    )

    (problem,) = check_closure(short, TODAY)

    assert mark_for(short.systems[0], mid_stroke(short.systems[0])) is None
    assert problem.text.count("set the mark") == 0
    assert "pup joint" not in problem.text
    assert "use joints above the mark that are" in problem.text


@pytest.mark.parametrize("margin_in", [-1, 6, 7])
def test_a_margin_must_leave_some_of_the_stroke(margin_in: float) -> None:
    plan = change_y_block(SINGLE, 0, margin=length(margin_in, "in"))

    (problem,) = check_closure(plan, TODAY)

    assert problem.rule == "swivel-margin-unfit"


@pytest.mark.parametrize(("below_top_ft", "stops"), [(-0.1, 1), (0.0, 0), (5.0, 0), (40.0, 1)])
def test_a_mark_is_on_the_joint_it_names(below_top_ft: float, stops: int) -> None:
    plan = change_system(SINGLE, 0, datum=Mark("S1-B1", length(below_top_ft, "ft")))

    assert len(list(check_marks(plan, TODAY))) == stops


def _height(joints: tuple[Joint, ...], mark: Mark) -> float:
    above = [joint.tag for joint in joints].index(mark.joint) + 1
    return -mark.below_top.si - sum((joint.length for joint in joints[above:]), Length(0.0)).si
