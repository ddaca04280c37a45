"""The forecast: by the plan's rates first, by the run's own pace then, and what holds the floor up."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.at_step.forecast import forecast
from app.domain.at_step.lost_time import lost_by_cause, standstills
from app.domain.at_step.pace import QUICKEST_RATIO, SLOWEST_RATIO, Worked, pace_of, worked
from app.domain.at_step.planned_time import planned_times, talk_time
from app.domain.crew import StageKind
from app.domain.events.holds import Cause, HoldBegun, HoldEnded, LookBack
from app.domain.interruption import Interruption
from app.domain.operations import Operation
from app.domain.plan import Plan
from app.domain.quantities import Duration, in_unit
from app.domain.rates import COMMON_STEP, COMMON_TALK, JOINT_WORK, Rate, Rates, common_time
from app.domain.run import Done, Hold, Run, new_run
from app.domain.sheet import Lane
from tests.domain.job import START, SUPERVISOR, all_done, begun, plan, sheet

MINUTE = 60.0


def with_rates(rates: Rates | None) -> Plan:
    return replace(plan(), rates=rates)


def at_pace(ratio: float, upto: int, *, stand_h: float = 0.0) -> tuple[Run, datetime]:
    """Return the run in which every step up to one took so many times its plan, and when that was.

    Deck work was done long before; a stand comes before the last step.
    """
    made = new_run("run-1", with_rates(None), sheet())
    times = planned_times(made.plan, made.sheet)
    now, done, holds = START, {}, {}
    deck_at = START - timedelta(days=1)
    for step in made.sheet.steps[:upto]:
        if step.lane is Lane.DECK:
            deck_at += timedelta(seconds=times[step.number].si * ratio)
            done[step.number] = Done(step.number, (), SUPERVISOR, deck_at, 0)
            continue
        stage = made.sheet.stage(step.stage)
        if stage.first == step.number and stage.hold_point is not None:
            now += timedelta(seconds=talk_time(made.plan, stage).si * ratio)
            holds[stage.id] = Hold(released_at=now)
        now += timedelta(seconds=times[step.number].si * ratio)
        if step.number == upto:
            now += timedelta(hours=stand_h)
        done[step.number] = Done(step.number, (), SUPERVISOR, now, 0)
    return replace(made, done=done, holds=holds), now


def test_a_plan_without_rates_reckons_with_common_practice() -> None:
    times = planned_times(with_rates(None), sheet())

    assert all(times[step.number] == common_time(step.operation) for step in sheet().steps)
    assert common_time(Operation.OWN_STEP) == COMMON_STEP


def test_an_operation_takes_what_the_plan_says() -> None:
    rated = with_rates(Rates(operations=(Rate(Operation.CONNECT_POTHEAD, Duration(90 * MINUTE)),)))

    times = planned_times(rated, sheet())

    pothead = next(step for step in sheet().steps if step.operation is Operation.CONNECT_POTHEAD)
    assert times[pothead.number] == Duration(90 * MINUTE)


@pytest.mark.parametrize("named", [(), (Rate(Operation.TORQUE, Duration(3 * MINUTE)),)])
def test_a_joint_takes_what_the_plan_says_shared_out_among_its_steps(named: tuple[Rate, ...]) -> None:
    rated = with_rates(Rates(joint=Duration(10 * MINUTE), operations=named))

    times = planned_times(rated, sheet())

    running = next(stage for stage in sheet().stages if stage.kind is StageKind.RUNNING)
    work = [step for step in sheet().steps_of(running.id) if step.operation in JOINT_WORK]
    assert sum(times[step.number].si for step in work) == pytest.approx(8 * 10 * MINUTE)


def test_a_talk_takes_its_time_where_there_is_a_hold_point() -> None:
    deck, first = sheet().stages[:2]

    assert talk_time(with_rates(None), first) == COMMON_TALK
    assert talk_time(with_rates(Rates(talk=Duration(60.0))), first) == Duration(60.0)
    assert talk_time(plan(), deck).si == 0.0


def test_before_anything_is_done_the_end_is_what_was_planned_and_the_deck_holds_the_floor_up() -> None:
    run = begun()

    found = forecast(run, START)

    floor_s = sum(stage.planned.si for stage in found.stages[1:])
    waits_s = sum(wait.time.si for wait in found.waits)
    assert found.waits
    assert found.waits[0].deck_step in found.waits[0].step.needs
    assert found.deck_ahead is not None
    assert found.deck_ahead.si < 0
    assert found.left.si == pytest.approx(floor_s + waits_s)
    assert found.end == START + timedelta(seconds=found.left.si)


def test_a_run_that_goes_as_planned_ends_as_planned() -> None:
    run, now = at_pace(1.0, 130)

    found = forecast(run, now)

    open_s = sum(stage.planned.si for stage in found.stages if stage.done == 0)
    assert found.pace.whole.si == pytest.approx(1.0)
    assert found.left.si == pytest.approx(open_s + found.stages[4].left.si)
    assert found.waits == ()
    assert found.deck_ahead is None


@pytest.mark.parametrize("ratio", [0.5, 2.0])
def test_what_is_left_follows_the_pace_of_the_run(ratio: float) -> None:
    run, now = at_pace(ratio, 130)

    found = forecast(run, now)

    assert found.pace.whole.si == pytest.approx(ratio)
    landing = found.stages[-1]
    talk_s = talk_time(run.plan, landing.stage).si
    # A talk takes as long as it takes; nobody talks faster because the pipe does.
    assert landing.left.si == pytest.approx((landing.planned.si - talk_s) * ratio + talk_s)


def test_standing_is_time_lost_and_not_carried_forward() -> None:
    steady, now = at_pace(1.0, 130)
    stood, later = at_pace(1.0, 130, stand_h=6.0)

    before, found = forecast(steady, now), forecast(stood, later)

    assert in_unit(found.stood, "h") == pytest.approx(6.0)
    assert found.left.si == pytest.approx(before.left.si)
    assert found.end - before.end == timedelta(hours=6)


def with_hold(run: Run, end: datetime, hours: float, cause: Cause = Cause.WEATHER) -> Run:
    """Return a run with a hold of so many hours that ended a minute before a time."""
    until = end - timedelta(minutes=1)
    hold = Interruption(
        HoldBegun(cause, ""),
        SUPERVISOR,
        until - timedelta(hours=hours),
        HoldEnded(LookBack.NOT_ASKED, 0, ""),
        SUPERVISOR,
        until,
    )
    return replace(run, interruptions=(*run.interruptions, hold))


@pytest.mark.parametrize("hours", [0.4, 6.0])
def test_time_on_hold_is_lost_to_its_cause_and_in_no_pace(hours: float) -> None:
    steady, now = at_pace(1.0, 130)
    stood, later = at_pace(1.0, 130, stand_h=hours)

    before, found = forecast(steady, now), forecast(with_hold(stood, later, hours), later)

    (lost,) = found.lost
    assert (lost.cause, lost.times) == (Cause.WEATHER, 1)
    assert in_unit(lost.time, "h") == pytest.approx(hours)
    assert found.stood.si == 0.0
    assert found.pace.whole.si == pytest.approx(before.pace.whole.si)
    assert found.left.si == pytest.approx(before.left.si)
    assert sum(stage.held.si for stage in found.stages) == pytest.approx(hours * 3600.0)
    assert all(stage.still == stage.stood + stage.held for stage in found.stages)


def test_without_its_cause_the_same_short_time_would_be_taken_for_slow_work() -> None:
    stood, later = at_pace(1.0, 130, stand_h=0.4)

    assert forecast(stood, later).pace.whole.si > forecast(with_hold(stood, later, 0.4), later).pace.whole.si


def test_lost_time_is_added_up_by_cause_and_a_hold_that_goes_on_counts_until_now() -> None:
    run, now = at_pace(1.0, 130)
    run = with_hold(run, now - timedelta(hours=9), 1.0)
    run = with_hold(run, now - timedelta(hours=4), 2.0, Cause.PARTS)
    run = with_hold(run, now, 0.5)
    going_on = Interruption(HoldBegun(Cause.REST, ""), SUPERVISOR, now)
    run = replace(run, interruptions=(*run.interruptions, going_on))

    lost = lost_by_cause(run, now + timedelta(minutes=45))

    assert [(item.cause, round(in_unit(item.time, "min")), item.times) for item in lost] == [
        (Cause.PARTS, 120, 1),
        (Cause.WEATHER, 90, 2),
        (Cause.REST, 45, 1),
    ]
    assert standstills(run, now)[-1].is_open
    assert lost_by_cause(begun(), now) == ()


def test_a_stage_that_is_done_has_nothing_left_and_says_what_it_took() -> None:
    run, now = at_pace(1.5, 130)

    leg = forecast(run, now).stages[2]

    assert (leg.done, leg.left.si) == (leg.steps, 0.0)
    assert leg.spent.si == pytest.approx(1.5 * leg.planned.si)
    assert leg.forecast == leg.spent


def test_ticks_that_came_all_at_once_tell_no_pace_beyond_reason() -> None:
    run, _ = at_pace(0.0, 130)

    pieces = worked(run, planned_times(run.plan, run.sheet), Lane.FLOOR)

    assert pace_of(run, pieces).whole.si == QUICKEST_RATIO


def test_little_work_and_talks_tell_no_pace() -> None:
    stage = sheet().stages[1].id
    little = Worked(stage, Duration(9 * MINUTE), Duration(20 * MINUTE), Duration(0.0))
    talk = Worked(stage, Duration(30 * MINUTE), Duration(60 * MINUTE), Duration(0.0), is_talk=True)

    pace = pace_of(begun(), (little, talk))

    assert pace.whole.si == 1.0
    assert pace.by_kind == {}


def test_a_run_with_every_step_done_ends_now() -> None:
    found = forecast(all_done(), START + timedelta(days=2))

    assert found.left.si == 0.0
    assert found.end == START + timedelta(days=2)


def test_a_step_that_was_undone_is_left_again() -> None:
    run, now = at_pace(1.0, 130)
    undone = replace(run, done={number: done for number, done in run.done.items() if number != 130})

    assert forecast(undone, now).left.si > forecast(run, now).left.si


@given(st.floats(0.0, 20.0), st.integers(48, 218))
@settings(max_examples=25, deadline=None)
def test_no_pace_makes_time_run_backwards(ratio: float, upto: int) -> None:
    run, now = at_pace(ratio, upto)

    found = forecast(run, now)

    assert found.end >= now
    assert QUICKEST_RATIO <= found.pace.whole.si <= SLOWEST_RATIO
    assert all(stage.left.si >= 0 and stage.stood <= stage.spent for stage in found.stages)
