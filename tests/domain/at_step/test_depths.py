"""Depths at a step: of the base, of parts and stations, and what stands within reach."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.at_step.depths import JointsIn, depth_results, depths_of
from app.domain.at_step.following import Followed, follow
from app.domain.checks.tally import station_depths, string_length, tally
from app.domain.operations import Operation as O  # noqa: N817 - steps read as words
from app.domain.plan import Plan
from app.domain.pulling.pull import pull_sheet
from app.domain.quantities import Length, in_unit
from app.domain.sheet import Sheet
from tests.domain.at_step.shifts import after, double, number_of, single

HAND_FT = 4.0  # the working height of the built plan


def feet(value: Length | None) -> float:
    assert value is not None
    return in_unit(value, "ft")


def test_nothing_has_a_depth_before_the_first_joint_is_lowered() -> None:
    plan, _ = single()

    depths = depths_of(follow(plan))

    assert depths.base is None
    assert depths.places == ()
    assert depth_results(follow(plan), depths) == ()


def test_a_lowered_joint_stands_at_working_height_and_the_rest_of_it_is_below() -> None:
    plan, sheet = single()

    depths = depths_of(after(plan, sheet, O.LOWER_LEG, "S1-B1"))

    joint_ft = feet(plan.systems[0].bypass.joints[0].length)
    guide = plan.systems[0].entry_guide
    assert guide is not None
    assert feet(depths.stick_up) == pytest.approx(HAND_FT)
    assert feet(depths.base) == pytest.approx(joint_ft + feet(guide.length) - HAND_FT)
    assert depths.by_hand == ("S1-B1",)
    assert "S1-B1" in depths.in_table


def test_a_joint_made_up_on_top_changes_the_stick_up_and_not_the_depth() -> None:
    plan, sheet = single()
    before = depths_of(after(plan, sheet, O.LOWER_LEG, "S1-B1"))

    made_up = depths_of(after(plan, sheet, O.TORQUE, "S1-B2"))

    joint_ft = feet(plan.systems[0].bypass.joints[1].length)
    assert feet(made_up.base) == pytest.approx(feet(before.base))
    assert feet(made_up.stick_up) == pytest.approx(HAND_FT + joint_ft)


def test_at_the_mark_the_mark_is_at_working_height() -> None:
    plan, sheet = single()

    depths = depths_of(after(plan, sheet, O.RAISE_TO_MARK))

    place = next(place for place in depths.places if place.tag == plan.systems[0].datum.joint)
    mark_ft = feet(place.top) + feet(plan.systems[0].datum.below_top)
    assert mark_ft == pytest.approx(-HAND_FT)


def test_a_leg_lowered_by_eye_says_so_until_a_length_tells_again() -> None:
    plan, sheet = single()

    by_eye = after(plan, sheet, O.LOWER_TO_GAUGE)
    landed = after(plan, sheet, O.LAND_ON_TABLE)

    assert depths_of(by_eye).by_eye
    assert "by eye" in depth_results(by_eye, depths_of(by_eye))[0].advice
    assert not depths_of(landed).by_eye


def test_the_part_that_landed_on_the_table_has_its_top_there() -> None:
    plan, sheet = single()

    depths = depths_of(after(plan, sheet, O.LAND_ON_TABLE, "S1-MOTOR-1"))

    motor = next(place for place in depths.places if place.tag == "S1-MOTOR-1")
    assert motor.top.si == pytest.approx(0.0)
    assert "S1-MOTOR-1" in depths.in_table


def test_under_a_landed_hanger_everything_is_as_deep_as_the_tally_says() -> None:
    plan, sheet = double()

    depths = depths_of(follow(plan, sheet.steps))

    off_m = (plan.well.setting_depth - string_length(plan)).si
    tallied = {line.tag: line.base_depth.si - off_m for line in tally(plan)}
    assert feet(depths.base) == pytest.approx(feet(string_length(plan)))
    assert {place.tag: pytest.approx(place.base.si) for place in depths.places} == tallied
    assert sorted(station.depth.si for station in depths.stations) == pytest.approx(
        sorted(station.depth.si - off_m for station in station_depths(plan))
    )


def test_joints_are_counted_by_run() -> None:
    plan, sheet = double()

    depths = depths_of(after(plan, sheet, O.LOWER_STRING, "S2-I2"))

    bypass = len(plan.systems[0].bypass.joints)
    assert depths.joints[:2] == (
        JointsIn("system 1 bypass leg", bypass, bypass),
        JointsIn("tubing below system 2", 2, 3),
    )
    assert depths.joints[-1] == JointsIn("production tubing", 0, 12)


def test_a_figure_tells_what_it_is_worked_out_from() -> None:
    plan, sheet = single()
    followed = after(plan, sheet, O.LOWER_LEG, "S1-B1")

    base, stick_up = depth_results(followed, depths_of(followed))

    assert base.formula == "string length less stick-up"
    assert {item.name for item in base.inputs} >= {"part at the top", "working height", "counted from"}
    assert stick_up.value_text == "4.00 ft"


@given(st.integers(min_value=0, max_value=10_000))
@settings(max_examples=20, deadline=None)
def test_stick_up_and_depth_add_up_to_what_is_joined(number: int) -> None:
    plan, sheet = double()
    followed = _some(plan, sheet, number)

    depths = depths_of(followed)

    if depths.base is not None and depths.stick_up is not None:
        joined_m = followed.height_m(depths.top_tag)
        assert (depths.base + depths.stick_up).si == pytest.approx(joined_m)


def _some(plan: Plan, sheet: Sheet, number: int) -> Followed:
    return follow(plan, sheet.steps[: number % (len(sheet.steps) + 1)])


def test_on_the_way_back_each_joint_comes_up_to_where_it_was() -> None:
    plan, sheet = single()
    run = sheet.steps[: number_of(sheet, O.LOWER_STRING, "P2")]
    followed = follow(plan, run)
    deep_m = followed.depth_m
    assert deep_m is not None

    for step in pull_sheet(plan, sheet, run).steps:
        followed.do(step)
        if step.operation is O.RAISE_STRING:
            break

    joint = next(line for line in tally(plan) if line.tag == "P2")
    assert followed.depth_m == pytest.approx(deep_m - joint.length.si)


def test_a_string_that_was_pulled_has_no_depth() -> None:
    plan, sheet = double()

    followed = follow(plan, (*sheet.steps, *pull_sheet(plan, sheet, sheet.steps).steps))

    assert depths_of(followed).base is None
    assert all(run.joints_in == 0 for run in depths_of(followed).joints)
