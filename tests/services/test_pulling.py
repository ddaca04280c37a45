"""The way back: a sheet that undoes a run, and what the laws say of it."""

from dataclasses import replace

from app.services.pulling import way_back
from tests.domain.compiler.test_practice import plan_named, sheet_named


def test_the_way_out_of_the_hole_is_proven() -> None:
    plan, sheet = plan_named("single"), sheet_named("single")

    back = way_back(plan, sheet, len(sheet.steps))

    assert back.is_proven
    assert back.problems == ()


def test_a_way_back_of_a_run_that_lost_its_string_is_not_proven() -> None:
    plan, sheet = plan_named("single"), sheet_named("single")
    slips = next(place for place, step in enumerate(sheet.steps) if step.operation.value == "set slips")
    wrong = replace(sheet, steps=sheet.steps[:slips] + sheet.steps[slips + 1 :])

    back = way_back(plan, wrong, 80)

    assert not back.is_proven
