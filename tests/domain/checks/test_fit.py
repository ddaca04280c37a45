"""What passes which casing, and what does not."""

from dataclasses import replace

import pytest

from app.domain.checks.fit import check_fit, passages, side_by_side
from app.domain.parts import PartKind
from app.domain.plan import Plan
from app.domain.problems import Problem
from app.domain.quantities import in_unit, length
from tests.domain.checks.changes import (
    change_bypass,
    change_casing,
    change_clamp_type,
    change_part,
    change_well,
    change_y_block,
)
from tests.plan_builder import PlanChoice, SystemChoice, build_plan
from tests.plan_stock import TODAY

SINGLE = build_plan(PlanChoice((SystemChoice(),)))
DOUBLE = build_plan()


def _found(plan: Plan) -> list[Problem]:
    return list(check_fit(plan, TODAY))


def test_two_touching_bodies_are_as_wide_as_both_together() -> None:
    assert in_unit(side_by_side(length(5.4, "in"), length(2.875, "in")), "in") == pytest.approx(8.275)


def test_a_coupled_bypass_beside_a_pump_does_not_fit_the_casing_that_a_flush_one_fits() -> None:
    coupled = change_bypass(SINGLE, 0, coupling_od=length(3.668, "in"))

    texts = [problem.text for problem in _found(coupled)]

    assert texts
    assert all("beside a coupling of the system 1 bypass" in text for text in texts)
    assert any("9.068 in across, 0.543 in too much" in text for text in texts)


def test_only_parts_that_a_coupling_stands_beside_are_widened_by_it() -> None:
    coupled = change_bypass(SINGLE, 0, coupling_od=length(3.668, "in"))
    beside = [passage.what for passage in passages(coupled) if "beside a coupling" in passage.what]

    assert beside
    assert len(beside) < len(SINGLE.systems[0].parts)


def test_a_wide_y_block_is_found_with_the_numbers() -> None:
    (problem,) = _found(change_y_block(SINGLE, 0, max_od=length(8.6, "in")))

    assert problem.where == 'systems[0] "system 1" . y_block'
    assert "8.600 in across, 0.075 in too much for the drift of 9.625 in casing, 8.525 in" in problem.text


def test_wide_bypass_support_clamps_and_protectors_are_found() -> None:
    for name, count in (("bypass clamp", 12), ("support clamp", 1), ("protector", 2)):
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
