"""Readings of two people: the first is kept back, the second is somebody else's, and they agree or not."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from app.domain.as_built_changes import taken_twice
from app.domain.commands import (
    AcceptDeviation,
    CorrectReading,
    DraftHandover,
    Entered,
    FinishStep,
    OnPaper,
    ProposeDisposition,
    ReadAgain,
    UndoStep,
)
from app.domain.crew import Critical, SecondReading
from app.domain.events.deviations import DeviationRaised, Disposition
from app.domain.events.handover import HandoverDrafted
from app.domain.events.steps import FirstReadingTaken, SecondReadingTaken, StepDone
from app.domain.events.who import Who
from app.domain.figures.at_step import figures_of
from app.domain.quantities import Ratio
from app.domain.refusals import LateEntryError, ReadingError, RightsError, SecondReadingError
from app.domain.run import Run
from app.domain.second_readings import asked_twice
from app.domain.standing import OpenKind, open_items
from tests.domain import job
from tests.domain.job import (
    DRILLER,
    FIRST_CLAMP,
    HAND,
    MEET_SWIVEL,
    START,
    SUPERVISOR,
    TECHNICIAN,
    TORQUE,
    asked,
    do,
    refused,
    typed,
)
from tests.runner import good_readings

SWIVEL = "swivel extension"


def read(value: str) -> tuple[Entered, ...]:
    return (Entered(SWIVEL, value, "in", confirmed=True),)


def first(value: str = "6.00") -> Run:
    """Return the run in which the technician has read the swivel."""
    return do(job.before(MEET_SWIVEL), FinishStep(MEET_SWIVEL, read(value)), TECHNICIAN)


def wanting(*rows: SecondReading) -> Run:
    """Return the run before its first torque, its plan wanting other second readings."""
    run = job.before(TORQUE)
    limits = replace(run.plan.limits, second_readings=rows)
    return replace(run, plan=replace(run.plan, limits=limits))


def test_a_step_with_such_a_reading_waits_for_somebody_else() -> None:
    run = first()

    (event,) = asked(job.before(MEET_SWIVEL), FinishStep(MEET_SWIVEL, read("6.00")), TECHNICIAN)

    assert isinstance(event, FirstReadingTaken)
    assert not run.is_done(MEET_SWIVEL)
    assert run.current() == run.sheet.steps[MEET_SWIVEL - 1]
    assert run.waiting[MEET_SWIVEL].who == TECHNICIAN


def test_a_second_reading_that_agrees_closes_the_step_and_both_are_kept() -> None:
    run = do(first(), ReadAgain(MEET_SWIVEL, read("6.05")), HAND)

    done = run.done[MEET_SWIVEL]
    assert (done.readings[0].value, done.who) == ("6.00", TECHNICIAN)
    assert done.second is not None
    assert (done.second.readings[0].value, done.second.who) == ("6.05", HAND)
    assert done.at < done.second.at
    assert not run.waiting
    assert run.floor_next == MEET_SWIVEL + 1
    assert run.deviations == ()


def test_whoever_read_first_never_reads_again_not_even_the_supervisor() -> None:
    by_supervisor = do(job.before(MEET_SWIVEL), FinishStep(MEET_SWIVEL, read("6.00")), SUPERVISOR)

    his = refused(first(), ReadAgain(MEET_SWIVEL, read("6.00")), TECHNICIAN)

    assert str(his) == (
        f"Toni Testcase took the first reading of step {MEET_SWIVEL}: somebody else takes the second one, "
        "signed in by his own name."
    )
    assert isinstance(refused(by_supervisor, ReadAgain(MEET_SWIVEL, read("6.00"))), SecondReadingError)


def test_readings_that_do_not_agree_raise_a_deviation_and_leave_the_step_open() -> None:
    second, raised = asked(first(), ReadAgain(MEET_SWIVEL, read("6.60")), HAND)
    run = do(first(), ReadAgain(MEET_SWIVEL, read("6.60")), HAND)

    assert isinstance(second, SecondReadingTaken)
    assert second.apart == (SWIVEL,)
    assert raised == DeviationRaised(
        1,
        MEET_SWIVEL,
        f"Two people read the swivel extension of step {MEET_SWIVEL} and do not agree",
        "The plan wants the two within 2 % of each other, on the same side of a limit",
        None,
        f"two readings of step {MEET_SWIVEL}",
    )
    assert not run.is_done(MEET_SWIVEL)
    assert not run.waiting
    assert [(item.readings[0].value, item.who) for item in run.attempts[MEET_SWIVEL]] == [
        ("6.00", TECHNICIAN),
        ("6.60", HAND),
    ]


def test_what_raises_the_deviation_does_not_tell_either_value() -> None:
    _, raised = asked(first("6.2345"), ReadAgain(MEET_SWIVEL, read("9.8765")), HAND)

    assert "6.2345" not in repr(raised)
    assert "9.8765" not in repr(raised)


def test_after_two_that_do_not_agree_both_are_read_again() -> None:
    run = do(first(), ReadAgain(MEET_SWIVEL, read("6.60")), HAND)

    again = do(run, FinishStep(MEET_SWIVEL, read("6.50")), SUPERVISOR)
    done = do(again, ReadAgain(MEET_SWIVEL, read("6.55")), TECHNICIAN)

    assert MEET_SWIVEL in again.waiting
    assert done.done[MEET_SWIVEL].who == SUPERVISOR
    assert len(done.attempts[MEET_SWIVEL]) == 2
    assert [item.is_open for item in done.deviations] == [True]


def test_the_record_has_both_readings_where_they_differed_and_where_they_agreed() -> None:
    run = do(first(), ReadAgain(MEET_SWIVEL, read("6.60")), HAND)
    run = do(run, FinishStep(MEET_SWIVEL, read("6.50")), SUPERVISOR)
    run = do(run, ReadAgain(MEET_SWIVEL, read("6.55")), TECHNICIAN)

    told = [(item.first.value, item.second.value, item.agreed) for item in taken_twice(run)]

    assert told == [("6.00", "6.60", False), ("6.50", "6.55", True)]
    assert [item.second_by for item in taken_twice(run)] == [HAND.titled, TECHNICIAN.titled]


def test_one_reading_is_enough_once_the_deviation_is_accepted_as_it_is() -> None:
    run = do(first(), ReadAgain(MEET_SWIVEL, read("6.60")), HAND)
    run = do(run, ProposeDisposition(1, Disposition.USE_AS_IS, "the tape was bent"), HAND)
    run = do(run, AcceptDeviation(1, Disposition.USE_AS_IS, "measured by laser"))

    (event,) = asked(run, FinishStep(MEET_SWIVEL, read("6.55")), TECHNICIAN)

    assert isinstance(event, StepDone)
    assert event.deviation == 1


def test_one_reading_is_enough_too_where_the_step_has_another_number_by_now() -> None:
    run = do(first(), ReadAgain(MEET_SWIVEL, read("6.60")), HAND)
    run = do(run, ProposeDisposition(1, Disposition.USE_AS_IS, "the tape was bent"), HAND)
    run = do(run, AcceptDeviation(1, Disposition.USE_AS_IS, "measured by laser"))
    (deviation,) = run.deviations
    raised = replace(deviation.raised, finding=f"two readings of step {MEET_SWIVEL - 11}")

    moved = replace(run, deviations=(replace(deviation, raised=raised),))

    (event,) = asked(moved, FinishStep(MEET_SWIVEL, read("6.55")), TECHNICIAN)
    assert isinstance(event, StepDone)


def test_a_deviation_about_two_readings_lets_no_reading_be_outside_its_limits() -> None:
    run = do(first(), ReadAgain(MEET_SWIVEL, read("6.60")), HAND)
    run = do(run, ProposeDisposition(1, Disposition.USE_AS_IS, "bent"), HAND)
    run = do(run, AcceptDeviation(1, Disposition.USE_AS_IS, "fine"))

    tried = do(run, FinishStep(MEET_SWIVEL, read("0.10")), TECHNICIAN)

    assert not tried.is_done(MEET_SWIVEL)
    assert MEET_SWIVEL not in tried.waiting


def test_two_readings_on_both_sides_of_a_limit_do_not_agree_however_near() -> None:
    run = wanting(SecondReading(Critical.TORQUE, Ratio(0.10, "10 %")))
    run = do(run, job.torqued("451"), HAND)

    second, *raised = asked(run, ReadAgain(TORQUE, job.torqued("449").readings), DRILLER)

    assert isinstance(second, SecondReadingTaken)
    assert second.apart == ("torque",)
    assert len(raised) == 1


def test_a_first_reading_outside_its_limits_is_a_failed_attempt_as_ever() -> None:
    run = wanting(SecondReading(Critical.TORQUE, Ratio(0.10, "10 %")))

    tried = do(run, job.torqued("440"), HAND)

    assert len(tried.attempts[TORQUE]) == 1
    assert not tried.waiting


def test_nothing_goes_on_while_a_reading_waits() -> None:
    run = first()

    again = refused(run, FinishStep(MEET_SWIVEL, read("6.00")), HAND)
    ahead = refused(run, job.torqued("500"))

    assert isinstance(again, SecondReadingError)
    assert "was read by Toni Testcase and waits for a second reading" in str(again)
    assert "6.00" not in str(again)
    assert ahead.rule == "already-done"


def test_what_a_reading_that_waits_rests_on_is_not_undone() -> None:
    below = refused(first(), UndoStep(MEET_SWIVEL - 1, "slip"))

    assert below.rule == "undo-order"
    assert f"Undo step {MEET_SWIVEL} first" in str(below)


def test_the_first_reading_can_be_taken_back_by_whoever_took_it() -> None:
    back = do(first(), UndoStep(MEET_SWIVEL, "read the wrong mark"), TECHNICIAN)

    assert not back.waiting
    assert back.attempts[MEET_SWIVEL][0].who == TECHNICIAN
    assert isinstance(refused(first(), UndoStep(MEET_SWIVEL, "no"), HAND), RightsError)


def test_figures_tell_nothing_of_a_reading_that_is_kept_back() -> None:
    run = wanting(SecondReading(Critical.TORQUE, Ratio(0.10, "10 %")))
    step = job.step(TORQUE)
    tried = do(run, job.torqued("440"), HAND)

    waiting = do(tried, job.torqued("500"), HAND)

    assert figures_of(tried, step)
    assert figures_of(waiting, step) == ()


def test_a_second_reading_is_of_what_is_read_twice_and_of_a_step_that_waits() -> None:
    odd = refused(first(), ReadAgain(MEET_SWIVEL, (Entered("torque", "1", "ft*lbf"),)), HAND)

    assert isinstance(odd, ReadingError)
    assert isinstance(refused(first(), ReadAgain(MEET_SWIVEL, ()), HAND), ReadingError)
    assert isinstance(refused(first(), ReadAgain(TORQUE, ()), HAND), SecondReadingError)


def test_a_correction_must_go_on_agreeing_with_what_the_other_read() -> None:
    run = do(first(), ReadAgain(MEET_SWIVEL, read("6.05")), HAND)

    far = refused(run, CorrectReading(MEET_SWIVEL, read("7.20")[0], "misread"), TECHNICIAN)

    assert far.rule == "second-reading"
    assert "would then no longer agree with what Flo Fictive read" in str(far)
    assert asked(run, CorrectReading(MEET_SWIVEL, read("6.10")[0], "misread"), TECHNICIAN)


@pytest.mark.parametrize(
    ("row", "is_asked"),
    [
        (SecondReading(Critical.TORQUE, Ratio(0.02)), True),
        (SecondReading(Critical.TORQUE, Ratio(0.02), "bypass clamp"), True),
        (SecondReading(Critical.TORQUE, Ratio(0.02), "bypass clamp bolts"), True),
        (SecondReading(Critical.TORQUE, Ratio(0.02), "2-7/8 flush"), False),
        (SecondReading(Critical.LENGTH, Ratio(0.02)), False),
    ],
)
def test_a_row_means_all_readings_of_its_name_or_those_of_one_thing(
    row: SecondReading, is_asked: bool
) -> None:
    run = wanting(row)

    found = asked_twice(run.plan, job.step(FIRST_CLAMP))

    assert list(found) == (["torque"] if is_asked else [])


def test_the_row_that_names_the_thing_counts_before_the_one_for_all() -> None:
    of_all = SecondReading(Critical.LENGTH, Ratio(0.05))
    of_one = SecondReading(Critical.LENGTH, Ratio(0.01), "BP-01")

    found = asked_twice(wanting(of_all, of_one).plan, job.step(job.MEASURE_JOINT))

    assert found == {"length BP-01": of_one}


def test_a_serial_that_waits_with_its_step_is_used_nowhere_else() -> None:
    run = job.before(FIRST_CLAMP)
    row = SecondReading(Critical.TORQUE, Ratio(0.02), "bypass clamp")
    limits = replace(run.plan.limits, second_readings=(row,))
    run = replace(run, plan=replace(run.plan, limits=limits))
    readings = typed(run, FIRST_CLAMP)

    waiting = do(run, FinishStep(FIRST_CLAMP, readings), TECHNICIAN)
    back = do(waiting, UndoStep(FIRST_CLAMP, "slip"), TECHNICIAN)
    done = do(waiting, ReadAgain(FIRST_CLAMP, readings[1:]), HAND)

    assert not waiting.used_serials.keys() & {readings[0].value}
    assert asked(back, FinishStep(FIRST_CLAMP, readings), TECHNICIAN)
    assert done.used_serials[readings[0].value] == FIRST_CLAMP


def test_a_step_that_waits_for_its_second_reading_is_told_among_what_is_open_without_its_value() -> None:
    run = first()

    item = next(item for item in open_items(run) if item.kind is OpenKind.SECOND_READING)

    assert item.step == MEET_SWIVEL
    assert item.text == f"Step {MEET_SWIVEL} waits for its second reading, by another than Toni Testcase"
    (drafted,) = asked(run, DraftHandover("quiet"), SUPERVISOR)
    assert isinstance(drafted, HandoverDrafted)
    assert item.text in drafted.open_items


def from_paper(run: Run, value: str, by: Who, minutes: int = 0) -> ReadAgain:
    """Return a second reading as the paper has it, so many minutes after the first one."""
    at = run.waiting[MEET_SWIVEL].at + timedelta(minutes=minutes)
    return ReadAgain(MEET_SWIVEL, read(value), OnPaper(at, by))


def test_a_second_reading_from_paper_keeps_both_times_and_both_names() -> None:
    run = first()

    done = do(run, from_paper(run, "6.05", HAND), SUPERVISOR).done[MEET_SWIVEL]

    assert done.second is not None
    assert (done.second.doer, done.second.who) == (HAND, SUPERVISOR)
    assert done.second.ended_at == run.waiting[MEET_SWIVEL].at < done.second.at


def test_two_readings_from_paper_that_do_not_agree_raise_a_deviation_without_their_values() -> None:
    run = first()

    taken, raised = asked(run, from_paper(run, "4.80", HAND), SUPERVISOR)

    assert isinstance(taken, SecondReadingTaken)
    assert taken.late is not None
    assert taken.apart == (SWIVEL,)
    assert isinstance(raised, DeviationRaised)
    assert not {"6.00", "4.80"} & set(f"{raised.what} {raised.why}".replace(",", " ").split())


@pytest.mark.parametrize(
    ("reader", "copier", "told"),
    [
        (TECHNICIAN, SUPERVISOR, "Toni Testcase took the first reading"),
        (HAND, TECHNICIAN, "Toni Testcase took the first reading of step"),
    ],
)
def test_who_took_the_first_reading_neither_takes_nor_copies_the_second(
    reader: Who, copier: Who, told: str
) -> None:
    run = first()

    refusal = refused(run, from_paper(run, "6.05", reader), copier)

    assert isinstance(refusal, SecondReadingError)
    assert told in str(refusal)
    assert "6.00" not in str(refusal)


def test_who_copied_the_first_reading_from_paper_copies_the_second_and_does_not_take_it() -> None:
    run = job.before(MEET_SWIVEL)
    at = START + timedelta(minutes=run.sequence)
    copied = do(run, FinishStep(MEET_SWIVEL, read("6.00"), OnPaper(at, TECHNICIAN)), SUPERVISOR)

    own = refused(copied, from_paper(copied, "6.05", SUPERVISOR), SUPERVISOR)
    done = do(copied, from_paper(copied, "6.05", HAND), SUPERVISOR).done[MEET_SWIVEL]

    assert isinstance(own, SecondReadingError)
    assert done.second is not None
    assert [done.doer, done.second.doer] == [TECHNICIAN, HAND]


@pytest.mark.parametrize(("minutes", "told"), [(-2, "before it was read the first time"), (900, "to come")])
def test_a_second_reading_on_paper_is_not_before_the_first_or_in_time_to_come(
    minutes: int, told: str
) -> None:
    run = first()

    refusal = refused(run, from_paper(run, "6.05", HAND, minutes), SUPERVISOR)

    assert isinstance(refusal, LateEntryError)
    assert told in str(refusal)


def test_what_follows_on_paper_is_not_before_the_second_reading_on_paper() -> None:
    run = first()
    done = do(run, ReadAgain(MEET_SWIVEL, read("6.05"), OnPaper(at_end(run), HAND)), SUPERVISOR)
    following = done.current()
    assert following is not None
    good = good_readings(done, following)

    early = refused(
        done, FinishStep(following.number, good, OnPaper(run.waiting[MEET_SWIVEL].at, SUPERVISOR))
    )

    assert isinstance(early, LateEntryError)


def at_end(run: Run) -> datetime:
    return START + timedelta(minutes=run.sequence + 1)
