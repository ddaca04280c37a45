"""What passes which casing, and what does not."""

from dataclasses import replace

from app.domain.checks.fit import check_clamps_close, check_fit, check_sizes_across
from app.domain.checks.structure import check_sizes
from app.domain.crew import Limits
from app.domain.parts import PartKind
from app.domain.plan import Plan
from app.domain.problems import Problem
from app.domain.quantities import Length, length, read_quantity
from app.domain.room.sections import sections
from tests.domain.checks.changes import (
    change_bypass,
    change_cable,
    change_casing,
    change_clamp_type,
    change_line,
    change_part,
    change_system,
    change_well,
    change_y_block,
)
from tests.plan_builder import PlanChoice, SystemChoice, build_plan
from tests.plan_stock import TODAY

SINGLE = build_plan(PlanChoice((SystemChoice(),)))
DOUBLE = build_plan()


def _found(plan: Plan) -> list[Problem]:
    return list(check_fit(plan, TODAY))


def test_a_coupled_bypass_beside_a_pump_does_not_fit_the_casing_that_a_flush_one_fits() -> None:
    coupled = change_bypass(SINGLE, 0, coupling_od=length(3.668, "in"))

    texts = [problem.text for problem in _found(coupled)]

    assert any("beside a coupling of the system 1 bypass" in text for text in texts)
    assert any("9.068 in across, 0.543 in too much" in text for text in texts)


def test_only_parts_that_a_coupling_stands_beside_are_widened_by_it() -> None:
    coupled = change_bypass(SINGLE, 0, coupling_od=length(3.668, "in"))
    beside = {section.where for section in sections(coupled) if "beside a coupling" in section.what}

    assert beside
    assert len(beside) < len(SINGLE.systems[0].parts)


def test_a_wide_y_block_is_found_with_the_numbers() -> None:
    (problem,) = _found(change_y_block(SINGLE, 0, max_od=length(8.6, "in")))

    assert problem.where == 'systems[0] "system 1" . y_block'
    assert "8.600 in across, 0.075 in too much for the drift of 9.625 in casing, 8.525 in" in problem.text


def test_wide_bypass_support_clamps_and_protectors_are_found() -> None:
    for name, count in (("bypass clamp", 11), ("support clamp", 1), ("protector", 2)):
        found = _found(change_clamp_type(DOUBLE, name, max_od=length(9, "in")))

        assert len(found) == count
        assert all(name in problem.text for problem in found)


def test_a_body_as_wide_as_the_drift_does_not_fit() -> None:
    (problem, *_) = _found(change_part(SINGLE, 0, PartKind.PUMP, max_od=length(8.525 - 2.875, "in")))

    assert problem.rule == "does-not-fit"


def test_a_casing_below_the_part_does_not_matter() -> None:
    casing = SINGLE.well.casing[0]
    liner = replace(casing, name="liner", drift=length(6, "in"), top=SINGLE.well.setting_depth)

    assert not _found(change_well(SINGLE, casing=(casing, liner)))


def test_a_liner_is_judged_by_what_goes_into_it() -> None:
    casing, depth = SINGLE.well.casing[0], SINGLE.well.setting_depth
    liner = replace(casing, name="liner", drift=length(8, "in"), top=depth - length(30, "ft"))

    found = _found(change_well(SINGLE, casing=(casing, liner)))

    assert {problem.where for problem in found} == {
        'systems[0] "system 1" . parts[1] "S1-MOTOR-1"',
        'systems[0] "system 1" . clamps[0] "S1-MOTOR-1"',
    }
    assert all("liner" in problem.text for problem in found)


def test_a_string_over_all_casing_passes_nothing() -> None:
    assert not _found(change_casing(SINGLE, top=SINGLE.well.setting_depth, drift=length(1, "in")))


def test_the_plan_may_want_more_room_than_common_sense() -> None:
    wanted = Limits(SINGLE.limits.resistance_imbalance, clearance=read_quantity("0.3 in", Length))

    found = _found(replace(SINGLE, limits=wanted))

    assert {problem.rule for problem in found} == {"tight-fit"}
    assert any("0.250 in left in the drift" in problem.text for problem in found)
    assert all("less than the 0.3 in that the plan wants" in problem.text for problem in found)


def test_what_governs_the_width_is_named() -> None:
    found = _found(change_part(SINGLE, 0, PartKind.PUMP, max_od=length(5.7, "in")))

    texts = [problem.text for problem in found if "beside" in problem.text]
    assert texts
    assert all("The width comes from S1-PUMP-1 and the" in text for text in texts)


def test_wider_than_the_inside_diameter_is_said_too() -> None:
    through = _found(change_y_block(SINGLE, 0, max_od=length(8.6, "in")))
    never = _found(change_y_block(SINGLE, 0, max_od=length(8.7, "in")))

    assert "Its inside diameter" not in through[0].text
    assert "Its inside diameter, 8.681 in, is too small as well." in never[0].text


def test_one_thing_is_found_once_at_its_widest() -> None:
    found = _found(change_part(SINGLE, 0, PartKind.PUMP, max_od=length(5.7, "in")))

    places = [problem.where for problem in found]
    assert sorted(set(places)) == sorted(places)


def test_a_clamp_that_holds_the_legs_apart_needs_more_room() -> None:
    apart = change_clamp_type(SINGLE, "bypass clamp", centre_distance=length(4.6, "in"))

    found = _found(apart)

    assert {problem.rule for problem in found} == {"does-not-fit"}
    assert all("clamps[" in problem.where for problem in found)


def test_a_clamp_for_thinner_legs_is_refused() -> None:
    narrow = change_clamp_type(SINGLE, "bypass clamp", centre_distance=length(4.0, "in"))

    found = list(check_clamps_close(narrow, TODAY))

    assert "S1-MOTOR-1 and the system 1 bypass need 4.138 in" in found[-1].text
    assert not list(check_clamps_close(SINGLE, TODAY))


def test_a_size_across_that_is_nothing_is_a_stop() -> None:
    flat = change_cable(SINGLE, 0, thickness=length(0, "in"))

    (problem,) = check_sizes(flat, TODAY)

    assert problem.rule == "size-not-positive"
    assert "thickness of S1-CABLE" in problem.text


def test_a_size_that_is_not_given_is_told_and_left_out() -> None:
    bare = change_line(change_cable(SINGLE, 0, thickness=None), 0, od=None)
    # Over so long a pump leg the swivel comes out so far that it stands beside it.
    bare = change_part(bare, 0, PartKind.PUMP, length=length(30, "ft"))
    bare = change_y_block(bare, 0, swivel_od=None)
    lead = replace(bare.systems[0].motor_lead, width=None)
    bare = change_system(bare, 0, motor_lead=lead)

    found = list(check_sizes_across(bare, TODAY))

    assert {problem.rule for problem in found} == {"fit-size-missing"}
    assert [problem.where.rpartition(" . ")[2] for problem in found] == [
        "motor_lead",
        "main_cable",
        "line",
        "y_block",
    ]
    members = {member.name for section in sections(bare) for member in section.shape.members}
    assert not members & {"S1-LEAD", "S1-CABLE", "S1-LINE"}
