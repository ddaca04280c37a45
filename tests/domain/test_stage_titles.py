"""What the stage of a step is called on a way back, and behind it."""

from app.domain.as_built import install_record
from app.domain.numbering import first_key
from app.domain.stage_titles import stage_title
from tests.domain import job
from tests.domain.rewriting.walked import going_back, walked_on
from tests.domain.test_as_built import ENTRY

FIRST = job.SECOND_CLAMP
OWN = job.sheet().stage(job.step(FIRST).stage).title
BACK = f"Back: {OWN[:1].lower()}{OWN[1:]}"


def test_behind_a_way_back_a_step_goes_by_the_title_of_its_own_stage() -> None:
    on_its_way = going_back(job.before(FIRST + 3), FIRST)

    walked = walked_on(on_its_way, len(on_its_way.way_back_left()))

    back, forward = on_its_way.current(), walked.current()
    assert back is not None
    assert forward is not None
    assert stage_title(on_its_way, back) == stage_title(walked, back) == BACK
    assert forward.stage == back.stage
    assert stage_title(walked, forward) == OWN


def test_what_comes_back_a_second_time_is_said_to_come_back_once() -> None:
    once = going_back(job.before(FIRST + 3), FIRST)
    again = walked_on(once, len(once.way_back_left()) + 3)

    twice = going_back(again, again.floor_next - 2)
    walked = walked_on(twice, len(twice.way_back_left()))

    back, forward = twice.current(), walked.current()
    assert back is not None
    assert forward is not None
    assert stage_title(twice, back) == BACK
    assert stage_title(walked, forward) == OWN


def test_the_record_keeps_steps_that_stand_again_under_their_own_stage() -> None:
    on_its_way = going_back(job.before(FIRST + 3), FIRST)
    walked = walked_on(on_its_way, len(on_its_way.way_back_left()) + 1)

    record = install_record(walked, "", (ENTRY,))

    again = {step.number: step.stage for step in record.steps if step.number >= on_its_way.floor_next}
    key = job.step(FIRST).key
    stands = next(step for step in reversed(walked.sheet.steps) if first_key(step.key) == key)
    assert again[on_its_way.floor_next] == BACK
    assert again[stands.number] == OWN
