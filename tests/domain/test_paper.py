"""What is left of a run on paper: every open step once, in its lane, with all that its form would ask."""

from app.domain.at_step.step_times import step_times
from app.domain.at_step.weight_reading import expected_at, weight_result
from app.domain.measured import plan_in
from app.domain.operations import Operation
from app.domain.paper import PaperSheet, limits_in_words, remaining
from app.domain.quantities import Torque
from app.domain.run import Run
from app.domain.sheet import ReadingKind, ReadingWanted
from app.domain.units import written
from tests.domain import job
from tests.domain.job import START, TORQUE, after, all_done, before, begun

LOWERED = job.first(Operation.LOWER_STRING, "P-002")


def paper(run: Run) -> PaperSheet:
    return remaining(run, "3f2a-91bc", START)


def numbers(sheet: PaperSheet) -> list[int]:
    return [step.number for stage in sheet.stages for step in stage.steps]


def test_every_open_step_stands_once_deck_work_apart() -> None:
    run = before(TORQUE)

    sheet = paper(run)

    left = [step.number for step in run.sheet.steps if run.is_open(step.number)]
    assert sorted([*numbers(sheet), *(step.number for step in sheet.deck)]) == left
    assert numbers(sheet)[0] == TORQUE
    assert sheet.current is not None
    assert sheet.current.number == TORQUE


def test_deck_work_that_is_open_stands_apart_and_the_floor_step_names_it() -> None:
    sheet = paper(begun())

    needing = next(step for stage in sheet.stages for step in stage.steps if step.needs)
    assert [step.number for step in sheet.deck] == [step.number for step in begun().open_deck_steps()]
    assert set(needing.needs) <= {step.number for step in sheet.deck}


def test_a_step_has_a_box_for_each_reading_with_its_limits_unit_and_tool() -> None:
    (box,) = paper(before(TORQUE)).stages[0].steps[0].boxes

    assert (box.name, box.unit, box.tool) == ("torque of BP-02", "ft·lbf", "pipe wrench")
    assert box.wanted == "450 ft·lbf to 550 ft·lbf, best 500 ft·lbf"


def test_a_box_for_the_weight_indicator_says_what_should_hang_there() -> None:
    run = before(LOWERED)

    boxes = {step.number: step.boxes for stage in paper(run).stages for step in stage.steps}

    due = weight_result(plan_in(run), (load := expected_at(run, job.step(LOWERED))), load.expected)
    (box,) = boxes[LOWERED]
    assert box.wanted == f"where it was read; should be {due.limits_text}, best {due.value_text}"
    assert due.limits_text
    later = [
        box.wanted for number in boxes if number > LOWERED for box in boxes[number] if "hook load" in box.name
    ]
    assert len(set(later)) == len(later) == 3


def test_cautions_stand_before_the_step_that_they_guard() -> None:
    (first, *_) = paper(before(TORQUE)).stages[0].steps

    assert list(first.cautions) == [caution.value for caution in job.step(TORQUE).cautions]
    assert first.text == written(job.step(TORQUE).text)


def test_a_hold_point_is_printed_until_it_is_signed() -> None:
    held = next(stage for stage in job.sheet().stages if stage.hold_point is not None)

    ahead, signed = paper(after(held.first - 1)), paper(before(held.first))

    assert ahead.stages[0].point == held.hold_point
    assert signed.stages[0].point is None


def test_of_a_finished_run_nothing_is_left() -> None:
    sheet = paper(all_done())

    assert (sheet.stages, sheet.deck, sheet.current) == ((), (), None)
    assert sheet.done == sheet.steps == len(step_times(all_done()))


def wanted(low: Torque | None, high: Torque | None) -> ReadingWanted:
    return ReadingWanted("torque", ReadingKind.TORQUE, "BP-02", "N*m", low=low, high=high)


def test_limits_on_one_side_or_none_are_said_so() -> None:
    some = Torque(500.0, "500 N*m")

    assert limits_in_words(wanted(some, None)).startswith("at least 500")
    assert limits_in_words(wanted(None, some)).startswith("at most 500")
    assert limits_in_words(wanted(None, None)) == "no limit"
