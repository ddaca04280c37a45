"""What the proof says of a changed sheet, and what the releaser must accept by name."""

import pytest

from app.domain.edits.findings import BEFORE_HOLD_POINT, LEFT_OUT, REWORDED, edit_problems
from app.domain.edits.kinds import DropStep, MoveStep, Place, RepeatStep, RewordStep
from app.domain.problems import Problem, Severity
from tests.domain.edits.desk import Desk, keys, own

SLIPS, COLLAR, TEST = "BP-02/set-slips", "BP-02/fit-dog-collar", "ML-1/electrical-test"
SAFETY = "SS-1/fit-safety-clamp"


@pytest.fixture
def desk() -> Desk:
    return Desk()


def asked(desk: Desk) -> tuple[Problem, ...]:
    return edit_problems(desk.edited)


def test_a_breach_is_found_at_the_step_where_it_shows(desk: Desk) -> None:
    desk.change(own(Place(start_of="deck-work")))
    desk.change(DropStep(SAFETY))

    breach = next(problem for problem in desk.breaches() if problem.rule == "law-held")

    number = int(breach.where.removeprefix("step "))
    step = desk.sheet.step(number)
    assert step is not None
    assert step.text in breach.text
    assert step.number > desk.sheet.stage("Y-closure-pump").first - 1
    assert breach.severity is Severity.STOP


def test_two_steps_the_wrong_way_round_break_a_law(desk: Desk) -> None:
    desk.change(MoveStep(SLIPS, Place(after=COLLAR)))

    assert desk.breaches()


def test_a_dropped_step_that_no_law_misses_must_be_accepted_by_name(desk: Desk) -> None:
    text = desk.step(TEST).text
    desk.change(RepeatStep("", TEST, Place(after=TEST)))
    desk.change(DropStep(TEST), why="once is enough")

    (problem,) = asked(desk)

    assert desk.breaches() == ()
    assert (problem.rule, problem.severity, problem.where) == (LEFT_OUT, Severity.CAUTION, "change 2")
    assert f"Left out: '{text}', by Sam Sample (supervisor), because 'once is enough'." in problem.text
    assert problem.text.endswith("Accept that it is left out, or take the change back.")


def test_new_words_must_be_accepted_by_name_as_long_as_they_stand(desk: Desk) -> None:
    desk.change(RewordStep(SLIPS, "Set the slips."))
    desk.change(RewordStep(SLIPS, "Set the small slips."))

    (problem,) = asked(desk)

    assert (problem.rule, problem.where) == (REWORDED, f"step {desk.step(SLIPS).number}")
    assert "'Set the slips.' now reads 'Set the small slips.'" in problem.text


def test_a_step_that_comes_before_its_hold_point_must_be_accepted_there(desk: Desk) -> None:
    held = desk.compiled.stage("pump-leg-pump").hold_point
    last = desk.compiled.steps_of("first-lift-pump")[-1].key
    desk.change(MoveStep(TEST, Place(after=last)))

    problems = [problem for problem in asked(desk) if problem.rule == BEFORE_HOLD_POINT]

    assert held is not None
    assert [problem.where for problem in problems] == [f"step {desk.step(TEST).number}"]
    assert f"before the hold point '{held.title}' is signed" in problems[0].text


def test_a_step_that_was_moved_back_behind_its_hold_point_asks_for_no_name(desk: Desk) -> None:
    last = desk.compiled.steps_of("first-lift-pump")[-1].key
    steps = keys(desk.compiled)
    desk.change(MoveStep(TEST, Place(after=last)))
    desk.change(MoveStep(TEST, Place(after=steps[steps.index(TEST) - 1])))

    assert keys(desk.sheet) == steps
    assert BEFORE_HOLD_POINT not in {problem.rule for problem in asked(desk)}


def test_what_the_proof_sees_and_what_changes_nothing_asks_for_no_name(desk: Desk) -> None:
    desk.change(own(Place(after=SLIPS)))
    desk.change(RepeatStep("", TEST, Place(after=TEST)))
    desk.change(MoveStep("check-gear", Place(after="check-gear/2")))
    desk.change(DropStep("own-step/1"))

    assert asked(desk) == ()
    assert desk.breaches() == ()
