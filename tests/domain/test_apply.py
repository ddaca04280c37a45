from dataclasses import replace
from datetime import timedelta
from typing import get_args

from hypothesis import given

from app.domain.apply import CHANGES, apply, fold
from app.domain.events.closing import RunClosed, RunSigned
from app.domain.events.deviations import DeviationAccepted, DeviationRaised, Disposition
from app.domain.events.event import Event, Happened
from app.domain.events.hold_points import HoldPointReleased, HoldPointSigned, TalkHeld
from app.domain.events.load_out import ItemsSettled, LoadOutAdded, Settlement
from app.domain.events.remarks import NoteAdded, PhotoAdded
from app.domain.events.steps import AttemptFailed, ReadingCorrected, StepDone, StepUndone
from app.domain.rewrites import Signed
from app.domain.run import Attempt, Done, Hold, Run, new_run
from tests.domain import job
from tests.domain.job import (
    FIRST_CLAMP,
    HAND,
    RELEASE,
    RIG,
    START,
    SUPERVISOR,
    TORQUE,
    after,
    begun,
    happened,
)
from tests.event_strategies import logs

CLAMP = StepDone(FIRST_CLAMP, (job.taken("serial", "TL-BC-0401"), job.taken("torque", "50", "ft*lbf")), 0)
SIGNED = RunSigned("as the record says", "b" * 64)


def test_every_kind_of_event_has_a_change() -> None:
    assert set(CHANGES) == set(get_args(Event))


@given(logs())
def test_applying_never_refuses_whatever_the_log_says(log: list[Happened]) -> None:
    run = fold(begun(), log)

    assert run.sequence == (log[-1].sequence if log else begun().sequence)


@given(logs())
def test_a_run_is_a_value_that_applying_leaves_as_it_was(log: list[Happened]) -> None:
    run = after(TORQUE)
    kept = replace(run, done=dict(run.done), holds=dict(run.holds), load_out=dict(run.load_out))

    fold(run, log)

    assert run == kept


def test_a_run_begins_with_its_release(begun: Run) -> None:
    assert begun.release == RELEASE
    assert begun.released == Signed(SUPERVISOR, "I release it.", START + timedelta(minutes=1), "f" * 64)
    assert not begun.is_practice
    assert not begun.is_closed


def test_a_run_of_a_practice_release_is_a_practice_run() -> None:
    fresh = new_run("run-2", *job.demonstration())

    assert not fresh.is_practice
    assert happened(fresh, replace(RELEASE, practice=True)).is_practice


def test_a_fresh_run_stands_at_its_first_floor_step(begun: Run) -> None:
    assert begun.current() == job.step(RIG)
    assert [step.number for step in begun.open_deck_steps()] == list(range(1, RIG))


def test_a_step_done_is_kept_with_who_and_when(begun: Run) -> None:
    run = happened(begun, StepDone(3, (), 7), HAND)

    assert run.done == {3: Done(3, (), HAND, START + timedelta(minutes=2), 7)}
    assert run.is_done(3)
    assert run.current() == begun.current()


def test_floor_steps_move_the_run_on_past_those_that_are_done(begun: Run) -> None:
    run = happened(happened(begun, StepDone(RIG + 1, (), 0)), StepDone(RIG, (), 0))

    assert run.current() == job.step(RIG + 2)


def test_a_failed_attempt_leaves_the_step_open_and_is_kept_in_order(begun: Run) -> None:
    first, second = (job.taken("torque", "440"),), (job.taken("torque", "560"),)

    run = happened(happened(begun, AttemptFailed(TORQUE, first), HAND), AttemptFailed(TORQUE, second))

    assert not run.is_done(TORQUE)
    assert [(item.readings, item.who) for item in run.attempts[TORQUE]] == [
        (first, HAND),
        (second, SUPERVISOR),
    ]


def test_undoing_keeps_the_first_readings_as_an_attempt(begun: Run) -> None:
    done = happened(begun, CLAMP, HAND)

    run = happened(done, StepUndone(FIRST_CLAMP, "wrong station"), SUPERVISOR)

    assert not run.is_done(FIRST_CLAMP)
    assert run.attempts[FIRST_CLAMP] == (Attempt(CLAMP.readings, HAND, START + timedelta(minutes=2)),)
    assert [item.event for item in run.undone] == [StepUndone(FIRST_CLAMP, "wrong station")]


def test_undoing_frees_the_serial(begun: Run) -> None:
    done = happened(begun, CLAMP)

    run = happened(done, StepUndone(FIRST_CLAMP, "wrong station"))

    assert done.used_serials == {"TL-BC-0401": FIRST_CLAMP}
    assert run.used_serials == {}


def test_undoing_a_step_without_readings_leaves_no_attempt(begun: Run) -> None:
    run = happened(happened(begun, StepDone(1, (), 0)), StepUndone(1, "slip"))

    assert run.attempts == {}


def test_undoing_deck_work_does_not_move_the_floor() -> None:
    run = after(RIG)

    undone = happened(run, StepUndone(job.MEASURE_GAUGE, "slip"))

    assert undone.current() == run.current()


def test_a_correction_stands_in_the_place_of_the_old_reading(begun: Run) -> None:
    old, new = CLAMP.readings[1], job.taken("torque", "51", "ft*lbf")
    correction = ReadingCorrected(FIRST_CLAMP, old, new, "misread")

    run = happened(happened(begun, CLAMP, HAND), correction)

    assert run.done[FIRST_CLAMP].readings == (CLAMP.readings[0], new)
    assert run.done[FIRST_CLAMP].who == HAND
    assert run.used_serials == {"TL-BC-0401": FIRST_CLAMP}
    assert [item.event for item in run.corrections] == [correction]


def test_a_talk_held_again_asks_everybody_again(begun: Run) -> None:
    talk = TalkHeld("first-lift-pump", ("lifting",), (SUPERVISOR, HAND))
    signed = HoldPointSigned("first-lift-pump", "there", "a" * 64, hasty=True)
    run = happened(happened(begun, talk), signed, HAND)

    again = happened(run, talk)

    assert run.hold("first-lift-pump").signatures == (
        Signed(HAND, "there", START + timedelta(minutes=3), "a" * 64, hasty=True),
    )
    assert again.hold("first-lift-pump") == Hold(talk)


def test_a_released_hold_point_says_when(begun: Run) -> None:
    run = happened(begun, HoldPointReleased("first-lift-pump"))

    assert run.hold("first-lift-pump").released_at == START + timedelta(minutes=2)
    assert run.holding(job.step(RIG)) is None
    assert begun.holding(job.step(RIG)) == job.sheet().stage("first-lift-pump")


def test_a_step_of_a_stage_that_is_nowhere_is_held_by_the_first_unsigned_talk_only() -> None:
    run = job.all_done()

    assert run.holding(replace(job.step(1), stage="nowhere")) is None


def test_only_the_deviation_that_is_named_is_disposed_of(begun: Run) -> None:
    run = begun
    for number in (1, 2):
        run = happened(run, DeviationRaised(number, 60, "low", "worn", Disposition.REWORK, ""), HAND)
    accepted = DeviationAccepted(2, Disposition.USE_AS_IS, "fine")

    run = happened(run, accepted, SUPERVISOR)

    assert [item.is_open for item in run.deviations] == [True, False]
    assert (run.deviations[1].accepted, run.deviations[1].accepted_by) == (accepted, SUPERVISOR)
    assert [item.raised.number for item in run.open_deviations()] == [1]
    assert [item.raised.number for item in run.deviations_of(60)] == [1, 2]
    assert run.deviations_of(61) == ()


def test_remarks_and_changes_of_the_load_out_list_are_kept_in_order(begun: Run) -> None:
    events: tuple[Event, ...] = (
        NoteAdded(0, "wind"),
        PhotoAdded(1, "h", "n", "image/png", 0, ""),
        LoadOutAdded("X-1", "bypass clamp", "late"),
        ItemsSettled(("X-1",), Settlement.REJECTED, "cracked"),
    )
    run = begun
    for event in events:
        run = happened(run, event)

    assert tuple(item.event for item in run.remarks) == events
    assert run.load_out == {**begun.load_out, "X-1": "bypass clamp"}
    assert run.settled == {"X-1": "rejected"}


def test_what_is_listed_again_is_no_longer_accounted_for(begun: Run) -> None:
    run = happened(begun, ItemsSettled(("TL-BC-0401", "TL-BC-0402"), Settlement.RETURNED, "not needed"))

    again = happened(run, LoadOutAdded("TL-BC-0401", "bypass clamp", "needed after all"))

    assert again.settled == {"TL-BC-0402": "returned"}


def test_a_closed_run_says_when(begun: Run) -> None:
    run = happened(happened(begun, SIGNED), RunClosed("good job"))

    assert run.is_closed
    assert run.closed_at == START + timedelta(minutes=3)
    assert run.signatures == (Signed(SUPERVISOR, SIGNED.meaning, START + timedelta(minutes=2), SIGNED.shown),)


def test_a_final_signature_does_not_outlive_the_work_that_it_was_given_for() -> None:
    signed = happened(happened(begun(), CLAMP), SIGNED)
    changes: tuple[Event, ...] = (
        StepUndone(FIRST_CLAMP, "wrong"),
        StepDone(3, (), 0),
        ReadingCorrected(FIRST_CLAMP, CLAMP.readings[1], job.taken("torque", "51"), "misread"),
        DeviationRaised(1, 60, "low", "worn", Disposition.REWORK, ""),
    )

    left = [happened(signed, change).signatures for change in changes]

    assert left == [()] * len(changes)
    assert happened(signed, NoteAdded(0, "wind")).signatures == signed.signatures


def test_folding_is_applying_one_by_one() -> None:
    run = begun()
    log = [Happened(number, START, SUPERVISOR, StepDone(number, (), 0)) for number in range(2, 19)]

    one_by_one = run
    for item in log:
        one_by_one = apply(one_by_one, item)

    assert fold(run, log) == one_by_one
    assert fold(run, []) == run
