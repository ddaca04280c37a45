import pytest

from app.domain.commands import (
    AddToLoadOut,
    Entered,
    FinishStep,
    RaiseDeviation,
    SettleItems,
)
from app.domain.events.deviations import Disposition
from app.domain.events.load_out import Settlement
from app.domain.events.steps import AttemptFailed, StepDone
from app.domain.install_record import ReadingVerdict
from app.domain.refusals import (
    AlreadyDoneError,
    DeckWorkOpenError,
    HeldError,
    OutOfOrderError,
    ReadingError,
    RightsError,
)
from app.domain.run import Run
from tests.domain import job
from tests.domain.job import (
    DRILLER,
    FIRST_CLAMP,
    FIRST_LIFT,
    HAND,
    MEASURE_JOINT,
    REPRESENTATIVE,
    RIG,
    SECOND_CLAMP,
    SUPERVISOR,
    TECHNICIAN,
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

USE_AS_IS = Disposition.USE_AS_IS
WRENCH = "T-WRENCH"


def test_a_step_without_readings_is_ticked(begun: Run) -> None:
    assert asked(begun, FinishStep(1)) == (StepDone(1, (), 0),)


def test_a_step_is_ticked_by_the_role_that_it_is_for(begun: Run) -> None:
    readings = typed(begun, MEASURE_JOINT)

    (event,) = asked(begun, FinishStep(MEASURE_JOINT, readings), HAND)

    assert isinstance(event, StepDone)
    assert [item.value for item in event.readings] == [item.value for item in readings]


def test_a_supervisor_may_tick_for_anybody(begun: Run) -> None:
    assert asked(begun, FinishStep(MEASURE_JOINT, typed(begun, MEASURE_JOINT)), SUPERVISOR)


def test_another_role_may_not_tick(begun: Run) -> None:
    error = refused(begun, FinishStep(MEASURE_JOINT, typed(begun, MEASURE_JOINT)), REPRESENTATIVE)

    assert isinstance(error, RightsError)
    assert str(error) == (
        f"Carla Contrived (company representative) may not tick step {MEASURE_JOINT}: that is for the floor "
        "crew or supervisor. Sign in as one of them."
    )


def test_a_step_is_not_ticked_twice() -> None:
    error = refused(do(job.begun(), FinishStep(1)), FinishStep(1), TECHNICIAN)

    assert isinstance(error, AlreadyDoneError)
    assert "by Sam Sample" in str(error)


def test_deck_work_may_be_done_in_any_order_and_before_any_talk(begun: Run) -> None:
    run = begun
    for number in (RIG - 1, 3, 1):
        run = finish(run, number)

    assert set(run.done) == {1, 3, RIG - 1}


def test_floor_work_keeps_its_order() -> None:
    error = refused(before(FIRST_LIFT), FinishStep(FIRST_LIFT + 1), DRILLER)

    assert isinstance(error, OutOfOrderError)
    assert str(error) == (
        f"Step {FIRST_LIFT + 1} is out of order: step {FIRST_LIFT} comes first. "
        f"Do or settle step {FIRST_LIFT}."
    )


def test_nothing_is_ticked_behind_an_unsigned_hold_point() -> None:
    unsigned = after(RIG - 1)

    error = refused(unsigned, FinishStep(RIG), DRILLER)

    assert isinstance(error, HeldError)
    assert str(error) == (
        f"Step {RIG} stands behind the hold point 'Talk before the first lift': "
        "hold the talk and sign it first."
    )


def test_a_later_hold_point_holds_a_later_stage_only() -> None:
    number = job.sheet().stage("pump-leg-pump").first
    end_of_stage = after(number - 1)

    error = refused(end_of_stage, FinishStep(number), HAND)
    (event,) = asked(pass_hold(end_of_stage, "pump-leg-pump"), FinishStep(number), HAND)

    assert isinstance(error, HeldError)
    assert event == StepDone(number, (), 0)


def test_floor_work_waits_for_the_deck_work_that_it_needs(begun: Run) -> None:
    ready = pass_hold(begun, "first-lift-pump")
    needs = job.step(RIG).needs
    for number in (*needs[:6], *needs[7:-1]):
        ready = finish(ready, number)

    error = refused(ready, FinishStep(RIG), DRILLER)

    assert isinstance(error, DeckWorkOpenError)
    assert str(error) == (
        f"Step {RIG} needs deck work that is still open: step {needs[6]}, {needs[-1]}. Do that first."
    )


def test_a_torque_in_its_window_closes_the_step() -> None:
    (event,) = asked(before(TORQUE), torqued("500"), HAND)

    assert isinstance(event, StepDone)
    assert event.readings[0].verdict is ReadingVerdict.IN_WINDOW


@pytest.mark.parametrize(
    ("value", "verdict"), [("440", ReadingVerdict.BELOW_WINDOW), ("560", ReadingVerdict.ABOVE_WINDOW)]
)
def test_a_torque_out_of_its_window_leaves_the_step_open(value: str, verdict: ReadingVerdict) -> None:
    run = before(TORQUE)

    (event,) = asked(run, torqued(value), HAND)
    tried = happened(run, event, HAND)

    assert isinstance(event, AttemptFailed)
    assert event.readings[0].verdict is verdict
    assert not tried.is_done(TORQUE)
    assert tried.attempts[TORQUE][0].readings == event.readings
    assert isinstance(refused(tried, FinishStep(TORQUE + 1), HAND), OutOfOrderError)


def test_a_connection_made_again_closes_the_step_and_keeps_the_first_try() -> None:
    run = do(do(before(TORQUE), torqued("440"), HAND), torqued("505"), HAND)

    assert run.is_done(TORQUE)
    assert [item.readings[0].value for item in run.attempts[TORQUE]] == ["440"]
    assert run.current() == job.step(TORQUE + 1)


def test_an_accepted_deviation_to_use_it_as_it_is_closes_the_step() -> None:
    run = with_deviation(do(before(TORQUE), torqued("440"), HAND))

    (event,) = asked(run, torqued("440"), HAND)

    assert isinstance(event, StepDone)
    assert event.deviation == 1
    assert event.readings[0].verdict is ReadingVerdict.BELOW_WINDOW


def test_an_open_deviation_closes_nothing() -> None:
    run = do(before(TORQUE), RaiseDeviation(TORQUE, "low torque", "worn", USE_AS_IS), HAND)

    assert isinstance(asked(run, torqued("440"), HAND)[0], AttemptFailed)


@pytest.mark.parametrize("disposition", [item for item in Disposition if item is not USE_AS_IS])
def test_a_deviation_to_do_something_about_it_closes_nothing(disposition: Disposition) -> None:
    run = with_deviation(before(TORQUE), disposition)

    assert isinstance(asked(run, torqued("440"), HAND)[0], AttemptFailed)


def test_a_deviation_at_another_step_closes_nothing() -> None:
    run = with_deviation(before(TORQUE), step=TORQUE + 1)

    assert isinstance(asked(run, torqued("440"), HAND)[0], AttemptFailed)


def test_a_deviation_is_not_named_where_the_reading_is_in_its_window_after_all() -> None:
    (event,) = asked(with_deviation(before(TORQUE)), torqued("500"), HAND)

    assert isinstance(event, StepDone)
    assert event.deviation == 0


def test_five_thousand_for_five_hundred_is_asked_about_before_it_is_taken() -> None:
    error = refused(before(TORQUE), FinishStep(TORQUE, (Entered("torque", "5000", "ft*lbf", WRENCH),)), HAND)

    assert isinstance(error, ReadingError)
    assert error.question
    assert error.field == "torque"


@pytest.mark.parametrize(
    ("serial", "rule"), [("C-UNKNOWN", "serial-unknown"), ("TL-MTR-0011", "serial-wrong-kind")]
)
def test_a_serial_that_does_not_belong_here_is_refused(serial: str, rule: str) -> None:
    run = before(FIRST_CLAMP)

    error = refused(run, FinishStep(FIRST_CLAMP, typed(run, FIRST_CLAMP, serial=serial)), TECHNICIAN)

    assert error.rule == rule


def test_a_serial_is_not_fitted_at_two_stations() -> None:
    run = before(SECOND_CLAMP)
    used = run.done[FIRST_CLAMP].readings[0].value

    error = refused(run, FinishStep(SECOND_CLAMP, typed(run, SECOND_CLAMP, serial=used)), TECHNICIAN)

    assert error.rule == "serial-used-twice"
    assert f"Serial {used} was used already, at step {FIRST_CLAMP}" in str(error)


def test_a_serial_added_to_the_list_with_a_reason_may_be_fitted() -> None:
    run = do(before(FIRST_CLAMP), AddToLoadOut(" X-1 ", " bypass clamp ", " came on the second truck "))

    fitted = do(run, FinishStep(FIRST_CLAMP, typed(run, FIRST_CLAMP, serial="X-1")), TECHNICIAN)

    assert fitted.used_serials["X-1"] == FIRST_CLAMP


def test_a_rejected_serial_is_not_fitted_until_it_is_listed_again() -> None:
    rejected = do(before(FIRST_CLAMP), SettleItems(("TL-BC-0401",), Settlement.REJECTED, "cracked"))
    tick = FinishStep(FIRST_CLAMP, typed(rejected, FIRST_CLAMP, serial="TL-BC-0401"))

    error = refused(rejected, tick, TECHNICIAN)
    listed = do(rejected, AddToLoadOut("TL-BC-0401", "bypass clamp", "the other one was cracked"))

    assert error.rule == "serial-settled"
    assert do(listed, tick, TECHNICIAN).is_done(FIRST_CLAMP)


def test_the_last_step_ends_the_floor() -> None:
    run = job.all_done()

    assert run.current() is None
    assert isinstance(refused(run, FinishStep(job.LAST)), AlreadyDoneError)
