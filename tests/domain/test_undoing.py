import pytest

from app.domain.commands import (
    CorrectReading,
    Entered,
    FinishStep,
    UndoStep,
)
from app.domain.events.steps import ReadingCorrected, StepUndone
from app.domain.install_record import ReadingVerdict
from app.domain.refusals import (
    NotDoneError,
    ReasonMissingError,
    RightsError,
    UndoOrderError,
)
from app.domain.run import Run
from tests.domain import job
from tests.domain.job import (
    DRILLER,
    FIRST_CLAMP,
    HAND,
    LINE_TEST,
    MEASURE_GAUGE,
    RIG,
    SECOND_CLAMP,
    TEST_LEAD,
    TORQUE,
    after,
    asked,
    before,
    do,
    finish,
    happened,
    pass_hold,
    refused,
    torqued,
    typed,
    with_deviation,
)

WRENCH = "T-WRENCH"


def test_a_tick_is_taken_back_with_a_reason() -> None:
    assert asked(after(TORQUE), UndoStep(TORQUE, " wrong joint ")) == (StepUndone(TORQUE, "wrong joint"),)


def test_one_may_undo_ones_own_tick_but_nobody_elses() -> None:
    run = do(before(TORQUE), torqued("500"), HAND)

    error = refused(run, UndoStep(TORQUE, "slip"), DRILLER)

    assert asked(run, UndoStep(TORQUE, "slip"), HAND)
    assert isinstance(error, RightsError)
    assert f"undo step {TORQUE} of somebody else" in str(error)


def test_a_step_that_is_not_done_is_not_undone() -> None:
    error = refused(before(TORQUE), UndoStep(TORQUE, "slip"))

    assert isinstance(error, NotDoneError)
    assert str(error) == f"Step {TORQUE} is not done, so there is nothing to undo or correct on it."


@pytest.mark.parametrize("reason", ["", "  "])
def test_nothing_is_undone_without_a_reason(reason: str) -> None:
    error = refused(after(TORQUE), UndoStep(TORQUE, reason))

    assert isinstance(error, ReasonMissingError)
    assert "before you undo a step" in str(error)


def test_floor_work_is_undone_from_the_last_step_backwards() -> None:
    run = after(TORQUE + 2)

    error = refused(run, UndoStep(TORQUE, "slip"))

    assert isinstance(error, UndoOrderError)
    assert f"step {TORQUE + 2} was done on top of it. Undo step {TORQUE + 2} first" in str(error)


def test_deck_work_is_undone_only_where_nothing_done_needed_it() -> None:
    run = after(RIG)

    error = refused(run, UndoStep(1, "slip"))

    assert isinstance(error, UndoOrderError)
    assert f"step {RIG} was done on top of it" in str(error)
    assert asked(run, UndoStep(MEASURE_GAUGE, "slip"))


def test_deck_work_done_later_does_not_rest_on_floor_work(begun: Run) -> None:
    ready = begun
    for number in job.step(RIG).needs:
        ready = finish(ready, number)
    run = finish(pass_hold(ready, "first-lift-pump"), RIG)

    assert asked(finish(run, MEASURE_GAUGE), UndoStep(RIG, "slip"))


def test_an_undone_step_is_the_one_to_be_done_now() -> None:
    run = do(after(TORQUE), UndoStep(TORQUE, "slip"))

    assert run.current() == job.step(TORQUE)
    assert do(run, torqued("500"), HAND).current() == job.step(TORQUE + 1)


def test_a_correction_keeps_the_old_reading() -> None:
    run = after(TORQUE)
    old = run.done[TORQUE].readings[0]

    (event,) = asked(run, CorrectReading(TORQUE, Entered("torque", "505", "ft*lbf", WRENCH), " misread "))
    corrected = happened(run, event)

    assert isinstance(event, ReadingCorrected)
    assert (event.old, event.new.value, event.reason) == (old, "505", "misread")
    assert corrected.done[TORQUE].readings[0].value == "505"
    assert corrected.corrections[0].event == event


def test_a_correction_does_not_bring_a_reading_out_of_its_window() -> None:
    error = refused(
        after(TORQUE), CorrectReading(TORQUE, Entered("torque", "440", "ft*lbf", WRENCH), "misread")
    )

    assert error.rule == "outside-window"
    assert "The torque, 440 ft*lbf, is then below the window: a correction cannot close it." in str(error)


def test_a_correction_does_not_bring_the_phases_out_of_balance() -> None:
    run = after(TEST_LEAD)
    entered = Entered("resistance A-B", "1.85", "ohm", "T-BRIDGE", confirmed=True)

    error = refused(run, CorrectReading(TEST_LEAD, entered, "misread"))

    assert error.rule == "outside-window"
    assert "resistance A-B" in str(error)


def test_a_correction_of_the_start_of_a_hold_judges_its_end_again() -> None:
    run = do(
        before(LINE_TEST),
        FinishStep(
            LINE_TEST, typed(before(LINE_TEST), LINE_TEST, start_pressure="3000 psi", end_pressure="2950 psi")
        ),
    )

    error = refused(
        run, CorrectReading(LINE_TEST, Entered("start pressure", "3250", "psi", "T-GAUGE"), "misread")
    )

    assert "The end pressure, 2950 psi, is then below the window" in str(error)


def test_a_reading_that_a_deviation_let_through_may_be_corrected_outside_its_window() -> None:
    tried = do(before(TORQUE), torqued("430"), HAND)
    run = do(with_deviation(tried), torqued("440"), HAND)

    (event,) = asked(run, CorrectReading(TORQUE, Entered("torque", "430", "ft*lbf", WRENCH), "misread"))

    assert isinstance(event, ReadingCorrected)
    assert event.new.verdict is ReadingVerdict.BELOW_WINDOW


def test_a_serial_is_corrected_to_a_free_one_and_the_old_one_is_free_again() -> None:
    run = after(FIRST_CLAMP)
    first = run.done[FIRST_CLAMP].readings[0].value
    other = next(
        serial for serial, item in run.load_out.items() if item == "bypass clamp" and serial != first
    )

    corrected = do(run, CorrectReading(FIRST_CLAMP, Entered("serial", other), "misread"))

    assert corrected.used_serials[other] == FIRST_CLAMP
    assert first not in corrected.used_serials
    assert asked(corrected, CorrectReading(FIRST_CLAMP, Entered("serial", first), "it was right"))


def test_a_serial_is_not_corrected_to_one_that_is_used_elsewhere() -> None:
    run = after(SECOND_CLAMP)
    first = run.done[FIRST_CLAMP].readings[0].value

    error = refused(run, CorrectReading(SECOND_CLAMP, Entered("serial", first), "misread"))

    assert error.rule == "serial-used-twice"


def test_a_reading_that_the_step_has_not_is_not_corrected() -> None:
    error = refused(after(TORQUE), CorrectReading(TORQUE, Entered("colour", "red"), "misread"))

    assert str(error) == f"Step {TORQUE} has no reading 'colour'."


def test_one_may_correct_ones_own_reading_but_nobody_elses_and_not_without_a_reason() -> None:
    run = do(before(TORQUE), torqued("500"), HAND)
    entered = Entered("torque", "505", "ft*lbf", WRENCH)

    assert asked(run, CorrectReading(TORQUE, entered, "misread"), HAND)
    assert isinstance(refused(run, CorrectReading(TORQUE, entered, "misread"), DRILLER), RightsError)
    assert isinstance(refused(run, CorrectReading(TORQUE, entered, " "), HAND), ReasonMissingError)
    assert isinstance(refused(before(TORQUE), CorrectReading(TORQUE, entered, "misread")), NotDoneError)
