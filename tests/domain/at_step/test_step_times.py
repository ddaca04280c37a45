"""The time of each step is read off the ticks: what is between them, without holds, against the plan."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from app.domain.as_built import install_record
from app.domain.at_step.pace import worked
from app.domain.at_step.planned_time import planned_times
from app.domain.at_step.step_times import TOO_FAST, StepTime, step_times, too_fast_before
from app.domain.clock_jumps import LONGEST_SLIP, jump_between
from app.domain.events.clock import ClockJumped
from app.domain.events.event import Event
from app.domain.events.hold_points import HoldPointReleased
from app.domain.events.holds import Cause, HoldBegun, HoldEnded, LookBack
from app.domain.events.steps import Late, StepDone, StepUndone
from app.domain.quantities import Duration
from app.domain.run import Run
from app.domain.sheet import Lane
from tests.domain.job import CREW, DRILLER, START, begun, happened, sheet

FLOOR = [step.number for step in sheet().lane(Lane.FLOOR)]
ONE, TWO, THREE = FLOOR[:3]
PLANNED = planned_times(begun().plan, sheet())


def at(minutes: float) -> datetime:
    return START + timedelta(minutes=minutes)


def after(*events: tuple[float, Event]) -> Run:
    """Return the run after events, each so many minutes after the start."""
    run = begun()
    for minutes, event in events:
        run = happened(run, event, at=at(minutes))
    return run


def done(step: int, late: Late | None = None) -> StepDone:
    return StepDone(step, (), 0, late)


def test_a_step_began_when_the_one_before_it_on_the_floor_ended() -> None:
    time = step_times(after((10, done(ONE)), (17, done(TWO))))[TWO]

    assert time == StepTime(
        TWO, at(10), at(17), PLANNED[TWO], Duration(420.0), Duration(0.0), too_fast=False, late=False
    )


def test_nobody_can_say_when_the_first_step_began() -> None:
    time = step_times(after((10, done(ONE))))[ONE]

    assert (time.started_at, time.worked, time.too_fast) == (None, None, False)


def test_behind_a_hold_point_a_step_began_with_its_last_signature() -> None:
    stage = sheet().steps[TWO - 1].stage

    time = step_times(after((10, done(ONE)), (30, HoldPointReleased(stage)), (37, done(TWO))))[TWO]

    assert (time.started_at, time.worked) == (at(30), Duration(420.0))


def test_time_on_hold_is_no_work() -> None:
    hold = (11, HoldBegun(Cause.WEATHER, "")), (71, HoldEnded(LookBack.NOT_ASKED, 0, ""))

    time = step_times(after((10, done(ONE)), *hold, (80, done(TWO))))[TWO]

    assert (time.worked, time.on_hold) == (Duration(600.0), Duration(3600.0))


def test_a_step_that_was_undone_has_no_time_until_it_is_done_again() -> None:
    undone = after((10, done(ONE)), (17, done(TWO)), (18, StepUndone(TWO, "slip")))

    again = happened(undone, done(TWO), at=at(25))

    assert TWO not in step_times(undone)
    assert step_times(again)[TWO].ended_at == at(25)


@pytest.mark.parametrize(("share", "is_fast"), [(TOO_FAST.si * 0.99, True), (TOO_FAST.si * 1.01, False)])
def test_a_tick_sooner_than_the_step_can_be_done_is_marked(share: float, is_fast: bool) -> None:
    minutes = PLANNED[TWO].si * share / 60.0

    time = step_times(after((10, done(ONE)), (10 + minutes, done(TWO))))[TWO]

    assert time.too_fast is is_fast


def test_deck_work_is_never_too_fast_for_several_may_do_it_at_once() -> None:
    first, second = [step.number for step in sheet().lane(Lane.DECK)][:2]

    times = step_times(after((10, done(first)), (10.01, done(second))))

    assert not times[second].too_fast


def test_the_next_hold_point_lists_what_came_too_fast_since_the_one_before() -> None:
    held = [stage for stage in sheet().stages if stage.hold_point is not None]
    behind = [number for number in FLOOR if held[0].first <= number < held[1].first]
    ticks = [(float(number), done(number)) for number in FLOOR if number <= behind[0]]
    quick = [(behind[0] + 0.001 * index, done(number)) for index, number in enumerate(behind[1:], start=1)]

    run = after(*ticks, *quick)

    assert [time.step for time in too_fast_before(run, held[1].id)] == behind[1:]
    assert too_fast_before(run, held[0].id) == ()
    assert too_fast_before(run, held[2].id) == ()


def test_what_was_entered_from_paper_ended_when_the_paper_says() -> None:
    paper = Late(at(12).isoformat(), DRILLER)

    run = after((10, done(ONE)), (600, done(TWO, paper)), (610, done(THREE)))

    times = step_times(run)
    assert (times[TWO].ended_at, times[TWO].worked, times[TWO].late) == (at(12), Duration(120.0), True)
    assert times[THREE].started_at == at(12)


def test_paper_written_to_the_minute_is_never_too_fast() -> None:
    paper = Late(at(10).isoformat(), DRILLER)

    time = step_times(after((10, done(ONE)), (600, done(TWO, paper))))[TWO]

    assert (time.worked, time.too_fast) == (Duration(0.0), False)


def jumped(before: float, after: float) -> ClockJumped:
    found = jump_between(at(before), at(after))
    assert found is not None
    return found


@pytest.mark.parametrize(("shown", "later"), [(500.0, 510.0), (5.0, 12.0)], ids=["forward", "back"])
def test_across_a_jump_of_the_clock_nobody_can_say_how_long_a_step_took(shown: float, later: float) -> None:
    run = after((10, done(ONE)), (shown, jumped(15, shown)), (shown, done(TWO)), (later + 30, done(THREE)))

    times = step_times(run)

    assert (times[TWO].started_at, times[TWO].worked, times[TWO].too_fast) == (None, None, False)
    pieces = {piece.step for piece in worked(run, PLANNED, Lane.FLOOR)}
    assert TWO not in pieces


def test_after_a_jump_forward_the_next_step_is_known_again() -> None:
    run = after((10, done(ONE)), (500, jumped(15, 500)), (500, done(TWO)), (507, done(THREE)))

    assert step_times(run)[THREE].worked == Duration(420.0)


def test_a_clock_within_a_small_slip_has_not_jumped() -> None:
    assert jump_between(START, START + LONGEST_SLIP) is None
    assert jump_between(START, START - LONGEST_SLIP) is None
    assert jump_between(START, START + LONGEST_SLIP + timedelta(seconds=1)) is not None


def test_the_record_has_the_time_of_each_step_and_where_the_clock_was_moved() -> None:
    paper = Late(at(12).isoformat(), DRILLER)
    run = after((10, done(ONE)), (60, done(TWO, paper)), (900, jumped(61, 900)), (901, done(THREE)))

    record = install_record(replace(run, closed_at=at(950)), "", ())

    one, two, three = record.times
    assert (one.began_at, one.worked_minutes) == ("", "")
    assert (two.began_at, two.ended_at, two.worked_minutes) == (
        at(10).isoformat(),
        at(12).isoformat(),
        "2.0",
    )
    assert (two.mark, two.entered_by, two.entered_at) == (
        "entered from paper",
        CREW[0].titled,
        at(60).isoformat(),
    )
    assert three.worked_minutes == ""
    assert [(move.sequence, move.by_seconds) for move in record.clock_moves] == [(4, 839 * 60)]
    assert record.steps[TWO - 1].by == f"{DRILLER.titled}, from paper by {CREW[0].titled}"
    assert record.steps[TWO - 1].at == at(12).isoformat()
