"""A handover: drafted and talked through by the outgoing, cross-checked and accepted by the incoming."""

from dataclasses import replace
from datetime import timedelta

import pytest

from app.domain.at_step.lost_time import lost_by_cause
from app.domain.commands import (
    AcceptDeviation,
    AcceptHandover,
    AddNote,
    BeginHold,
    CheckHandover,
    Command,
    DraftHandover,
    EndHold,
    Entered,
    FinishStep,
    HoldTalk,
    RaiseDeviation,
    TakeHandoverBack,
    TalkHandoverThrough,
    UndoStep,
)
from app.domain.cross_check import MOST_ASKED, asked_again
from app.domain.deciding.closing import gear_counts, missing
from app.domain.events.deviations import Disposition
from app.domain.events.handover import HandoverChecked, HandoverDrafted
from app.domain.events.holds import Cause
from app.domain.events.who import Who
from app.domain.handover_sheet import READ_AGAIN, handover_sheet
from app.domain.refusals import HandoverError, ReadingError, ReasonMissingError, RightsError, RunStateError
from app.domain.run import Run, RunState
from app.domain.standing import to_talk_through
from tests.domain.job import (
    DRILLER,
    RELEASE,
    SECOND_CLAMP,
    START,
    SUPERVISOR,
    TORQUE,
    all_done,
    asked,
    before,
    begun,
    do,
    happened,
    refused,
)

RELIEF = Who("p-rel", "Rita Relief", "supervisor")
THIRD = Who("p-thi", "Theo Third", "supervisor")
ACCEPT = AcceptHandover("", "I take over.", "a" * 64)
DRAFT = DraftHandover(" Slips sit deep. ")


def drafted(run: Run | None = None) -> Run:
    return do(run or before(SECOND_CLAMP), DRAFT)


def talked(run: Run | None = None) -> Run:
    run = drafted(run)
    assert run.handing_over is not None
    return do(run, TalkHandoverThrough(run.handing_over.drafted.open_items))


def read_again(run: Run, **changed: str) -> CheckHandover:
    """Return the values asked for as recorded, and the step to be done now, some typed otherwise."""
    assert run.handing_over is not None
    readings = tuple(
        Entered(item.field, changed.get(f"value_{at}", item.taken.value), item.taken.unit)
        for at, item in enumerate(asked_again(run, run.handing_over))
    )
    step = run.current()
    return CheckHandover(readings, changed.get("current", str(step.number) if step else "none"))


def checked(run: Run | None = None) -> Run:
    run = run or talked()
    return do(run, read_again(run), RELIEF)


def test_a_draft_carries_what_is_open_and_nothing_is_ticked_from_then_on() -> None:
    run = do(before(SECOND_CLAMP), RaiseDeviation(TORQUE, "low", "worn", Disposition.REWORK))

    (event,) = asked(run, DRAFT)

    assert isinstance(event, HandoverDrafted)
    assert event.words == "Slips sit deep."
    assert f"Deviation 1 at step {TORQUE} is not settled: low" in event.open_items
    assert happened(run, event).state is RunState.HANDING_OVER
    for command in (FinishStep(SECOND_CLAMP), UndoStep(SECOND_CLAMP - 1, "x"), HoldTalk("landing", (), ())):
        error = refused(happened(run, event), command)
        assert isinstance(error, RunStateError)
        assert "accepts the handover first, or the outgoing one takes it back" in str(error)
    assert asked(happened(run, event), AddNote(0, "raining"), DRILLER)
    assert "handing-over" in [problem.rule for problem in missing(happened(run, event))]


def test_only_the_supervisor_in_charge_drafts_it_and_says_something() -> None:
    other = refused(before(TORQUE), DRAFT, RELIEF)

    assert isinstance(other, HandoverError)
    assert "Sam Sample answers for this run" in str(other)
    assert isinstance(refused(before(TORQUE), DRAFT, DRILLER), RightsError)
    assert "must know" in str(refused(before(TORQUE), DraftHandover("  ")))


def test_a_run_that_no_supervisor_released_is_handed_over_by_any() -> None:
    run = happened(replace(begun(), released=None), replace(RELEASE, title="again"), DRILLER)

    assert asked(run, DRAFT, RELIEF)


def test_every_open_item_is_talked_through_by_the_outgoing() -> None:
    run = drafted(do(before(SECOND_CLAMP), RaiseDeviation(TORQUE, "low", "worn", Disposition.REWORK)))
    assert run.handing_over is not None
    items = run.handing_over.drafted.open_items

    left_out = refused(run, TalkHandoverThrough(items[1:]))
    other = refused(run, TalkHandoverThrough(items), RELIEF)

    assert f"still left: {items[0]}" in str(left_out)
    assert "Sam Sample, who hands over, says that it was talked through" in str(other)
    assert "already" in str(refused(talked(), TalkHandoverThrough()))


@pytest.mark.parametrize("command", [CheckHandover(), ACCEPT], ids=["check", "accept"])
def test_before_the_talk_nobody_takes_over(command: Command) -> None:
    assert "Talk it through first; Sam Sample records that." in str(refused(drafted(), command, RELIEF))


@pytest.mark.parametrize("command", [CheckHandover(), ACCEPT], ids=["check", "accept"])
def test_nobody_takes_over_from_himself(command: Command) -> None:
    assert "another supervisor" in str(refused(talked(), command, SUPERVISOR))


LOW = RaiseDeviation(TORQUE, "low", "worn", Disposition.REWORK)


def test_what_comes_between_draft_and_talk_is_talked_through_with_the_draft() -> None:
    run = do(drafted(), LOW)
    assert run.handing_over is not None

    left_out = refused(run, TalkHandoverThrough(run.handing_over.drafted.open_items))
    told = do(run, TalkHandoverThrough(to_talk_through(run, run.handing_over)))

    assert f"still left: Deviation 1 at step {TORQUE} is not settled: low." in str(left_out)
    assert told.handing_over is not None
    assert to_talk_through(told, told.handing_over) == ()


def test_what_comes_since_it_was_talked_through_is_talked_through_before_it_is_accepted() -> None:
    run = do(checked(), LOW, DRILLER)

    error = refused(run, ACCEPT, RELIEF)
    other = refused(run, TalkHandoverThrough(), RELIEF)
    silent = refused(run, TalkHandoverThrough())
    again = do(run, TalkHandoverThrough((f"Deviation 1 at step {TORQUE} is not settled: low", "weather")))
    over = do(again, ACCEPT, RELIEF)

    assert isinstance(error, HandoverError)
    assert str(error) == (
        f"Since it was talked through this came: Deviation 1 at step {TORQUE} is not settled: low. "
        f"Talk it through as well; Sam Sample records that."
    )
    assert "Sam Sample, who hands over, says that it was talked through" in str(other)
    assert "still left: Deviation 1" in str(silent)
    assert over.in_charge == RELIEF
    assert over.handovers[-1].items[-1] == f"Deviation 1 at step {TORQUE} is not settled: low"
    assert "weather" not in over.handovers[-1].items


def test_what_was_settled_meanwhile_keeps_nobody_up() -> None:
    run = do(checked(), LOW, DRILLER)

    settled = do(run, AcceptDeviation(1, Disposition.REWORK, "made up anew"))

    assert do(settled, ACCEPT, RELIEF).in_charge == RELIEF


def test_some_values_of_the_last_stage_are_asked_for_and_none_is_told() -> None:
    run = talked()
    assert run.handing_over is not None

    wanted = asked_again(run, run.handing_over)

    assert len(wanted) == MOST_ASKED
    assert all(run.is_done(item.step.number) and item.taken.value for item in wanted)
    assert wanted == asked_again(run, run.handing_over)
    others = {asked_again(run, replace(run.handing_over, sequence=number)) for number in range(30)}
    assert len(others) > 1, "which are asked for cannot be known before the draft"
    assert asked_again(begun(), run.handing_over) == ()


def test_values_that_agree_let_the_incoming_take_over() -> None:
    run = checked()

    over = do(run, ACCEPT, RELIEF)

    assert (run.in_charge, over.in_charge) == (SUPERVISOR, RELIEF)
    assert over.state is RunState.RUNNING
    assert over.handing_over is None
    assert asked(over, DRAFT, RELIEF)
    assert isinstance(refused(over, DRAFT, SUPERVISOR), HandoverError)
    assert gear_counts(over) == gear_counts(before(SECOND_CLAMP))


def test_a_value_read_in_another_unit_agrees() -> None:
    run = talked(before(TORQUE + 1))
    assert run.handing_over is not None
    torque = next(
        item
        for sequence in range(200)
        for item in asked_again(run, replace(run.handing_over, sequence=sequence))
        if item.wanted.name == "torque"
    )
    newton_metres = f"{float(torque.taken.si):.0f}"
    sequence = next(
        number
        for number in range(200)
        if torque in asked_again(run, replace(run.handing_over, sequence=number))
    )
    run = replace(run, handovers=(replace(run.handing_over, sequence=sequence),))
    readings = tuple(
        Entered(item.name, newton_metres, "N*m") if item.name == torque.field else item
        for item in read_again(run).readings
    )

    (event,) = asked(run, replace(read_again(run), readings=readings), RELIEF)

    assert isinstance(event, HandoverChecked)
    assert all(item.agrees for item in event.readings)


def test_a_value_that_does_not_agree_is_kept_and_settled_in_words() -> None:
    run = talked()
    wrong = do(run, read_again(run, value_0="99999", current="1"), RELIEF)
    right = do(wrong, read_again(wrong), RELIEF)

    for silent in (wrong, right):
        error = refused(silent, ACCEPT, RELIEF)
        assert isinstance(error, HandoverError)
        assert "typed 99999" in str(error)
        assert f"step to be done now: typed 1, recorded {SECOND_CLAMP}" in str(error)
    assert right.handing_over is not None
    assert [len(check.differing) for check in right.handing_over.checks] == [2, 0]
    over = do(right, replace(ACCEPT, words="read the wrong line"), RELIEF)
    assert over.in_charge == RELIEF


@pytest.mark.parametrize(
    ("changed", "words"),
    [({"value_0": " "}, "again and type it"), ({"current": ""}, "the step that is to be done now")],
)
def test_a_value_left_out_is_asked_for(changed: dict[str, str], words: str) -> None:
    run = talked()

    error = refused(run, read_again(run, **changed), RELIEF)

    assert isinstance(error, ReadingError)
    assert words in str(error)


def test_what_is_no_number_is_refused_and_not_compared() -> None:
    run = talked(before(TORQUE + 1))
    assert run.handing_over is not None
    at = next(place for place, item in enumerate(asked_again(run, run.handing_over)) if not item.is_serial)

    error = refused(run, read_again(run, **{f"value_{at}": "about five"}), RELIEF)

    assert isinstance(error, ReadingError)


def test_only_who_has_cross_checked_it_accepts_it() -> None:
    assert "Theo Third has not cross-checked it" in str(refused(checked(), ACCEPT, THIRD))
    assert "Rita Relief has not cross-checked it" in str(refused(talked(), ACCEPT, RELIEF))
    assert isinstance(refused(checked(), ACCEPT, DRILLER), RightsError)


def test_the_outgoing_takes_it_back_with_a_reason() -> None:
    run = do(checked(), TakeHandoverBack(" relief is late "))

    assert run.state is RunState.RUNNING
    assert run.in_charge == SUPERVISOR
    back = run.handovers[-1].taken_back
    assert back is not None
    assert back.reason == "relief is late"
    assert isinstance(refused(drafted(), TakeHandoverBack("x"), RELIEF), HandoverError)
    assert isinstance(refused(drafted(), TakeHandoverBack(" ")), ReasonMissingError)


@pytest.mark.parametrize("command", [TalkHandoverThrough(), CheckHandover(), ACCEPT, TakeHandoverBack("x")])
def test_without_a_draft_there_is_nothing_to_go_on_with(command: Command) -> None:
    assert isinstance(refused(before(TORQUE), command), RunStateError)


def test_a_finished_floor_has_no_step_to_be_done_now() -> None:
    run = talked(all_done())

    (event,) = asked(run, replace(read_again(run), current=""), RELIEF)

    assert isinstance(event, HandoverChecked)
    assert event.current.agrees


def test_a_run_on_hold_is_handed_over_and_is_still_on_hold_then() -> None:
    run = do(before(SECOND_CLAMP), BeginHold(Cause.WEATHER))
    over = do(checked(talked(run)), ACCEPT, RELIEF)

    assert over.state is RunState.ON_HOLD
    error = refused(over, EndHold(), RELIEF)
    assert "somebody else put it on hold" in str(error)
    # Time on hold is lost to its own cause alone, however long the handover took.
    assert [lost.cause for lost in lost_by_cause(over, START + timedelta(days=3))] == [Cause.WEATHER]


def test_the_time_of_a_handover_is_lost_to_the_change_of_shift() -> None:
    over = do(checked(), ACCEPT, RELIEF)

    (lost,) = lost_by_cause(over, START + timedelta(days=3))

    assert (lost.cause, lost.time.si) == (Cause.SHIFT_CHANGE, 3 * 60.0)


def test_the_sheet_tells_no_value_that_is_to_be_read_again() -> None:
    now = START + timedelta(days=1)
    run = talked()
    assert run.handing_over is not None
    unseen = {(item.step.number, item.wanted.name) for item in asked_again(run, run.handing_over)}

    hidden = handover_sheet(run, now)
    told = handover_sheet(checked(run), now)

    secret = {(row.step, row.name) for row in hidden.readings if row.value == READ_AGAIN}
    assert secret
    assert secret <= unseen
    assert not any(row.value == READ_AGAIN for row in told.readings)
    assert (told.done, told.current, told.in_charge) == (len(run.done), run.current(), SUPERVISOR)
    assert told.people[0] == SUPERVISOR
    assert {count.item for count in told.gear} == set(gear_counts(run))
