"""Steps that are set aside: said not to apply, to apply after all, put off until before a later one."""

from dataclasses import replace
from typing import Any

import pytest

from app.domain.commands import (
    BringForward,
    DeferStep,
    FinishStep,
    RaiseDeviation,
    SayApplicable,
    SayNotApplicable,
    SwapItem,
    UndoStep,
)
from app.domain.deciding.closing import missing
from app.domain.events.deviations import Disposition
from app.domain.events.set_aside import StepDeferred, StepNotApplicable
from app.domain.operations import Operation
from app.domain.paper import remaining
from app.domain.refusals import BackOutError, ReasonMissingError, SetAsideError
from app.domain.rewrites import Rewrite, Signed
from app.domain.rewriting.bringing_forward import brought_forward, stands_before
from app.domain.rewriting.putting_off import places_until, put_off
from app.domain.rewriting.rewritten import current_stage, proven_going_on
from app.domain.run import Run
from app.domain.set_aside import Deferred, NotApplicable
from app.domain.sheet import GearMove, Lane, ReadingKind, ReadingWanted, Step
from app.domain.standing import OpenKind, open_items, set_aside_at
from tests.domain import job, own_steps
from tests.domain.changed_plans import with_a_joint_more
from tests.domain.job import DRILLER, SUPERVISOR, do, finish, refused
from tests.domain.own_steps import BRIEFING, CAMERA, DECK_TWICE, TWICE, WEATHER, number_of
from tests.domain.put_aside import brought, number_now, put_off_until, without
from tests.domain.rewriting.walked import called_off, changed_to, going_back, walked_on

LINE_TEST = job.LINE_TEST  # the valve and the cable are tested behind it, then the string is lowered
BEFORE_LOWERING = LINE_TEST + 4


def is_aside(run: Run, key: str) -> bool:
    return number_now(run, key) in run.not_applicable


def proof_of(run: Run) -> tuple[object, ...]:
    return proven_going_on(run, run.sheet, current_stage(run))


# --- a step that does not apply


def test_the_floor_goes_past_a_step_that_does_not_apply() -> None:
    run = own_steps.before(WEATHER)
    number = number_of(WEATHER)

    left = without(run, WEATHER)

    assert left.sheet == run.sheet
    assert (left.is_open(number), left.is_done(number)) == (False, False)
    assert left.floor_next == number + 1
    assert left.not_applicable[number].reason == "no crane here"
    assert left.not_applicable[number].who == SUPERVISOR
    assert proof_of(left) == ()


def test_a_step_ahead_is_passed_when_the_floor_comes_to_it() -> None:
    run = without(own_steps.before(WEATHER), CAMERA)

    come = walked_on(run, number_of(CAMERA) - number_of(WEATHER))

    assert come.floor_next == number_of(CAMERA) + 1


def test_nobody_waits_on_deck_for_a_step_that_does_not_apply() -> None:
    run = without(own_steps.begun(), BRIEFING)

    assert number_of(BRIEFING) not in {step.number for step in run.open_deck_steps()}
    assert not any(number_of(BRIEFING) in run.open_needs(step) for step in run.sheet.lane(Lane.FLOOR))


@pytest.mark.parametrize("step", job.sheet().steps[::9], ids=lambda step: str(step.number))
def test_no_step_that_a_law_misses_is_left_out_and_the_law_is_named(step: Step) -> None:
    refusal = refused(job.begun(), SayNotApplicable(step.number, "no time"))

    assert isinstance(refusal, SetAsideError)
    assert f"Step {step.number} cannot be left undone. " in str(refusal)
    assert "To mend it: " in str(refusal)


def test_the_refusal_names_step_and_leg_and_what_is_missing() -> None:
    refusal = refused(job.before(LINE_TEST), SayNotApplicable(LINE_TEST, "no test pump"))

    assert f"Step {BEFORE_LOWERING}: " in str(refusal)
    assert "pump bypass leg" in str(refusal)
    assert "has not passed its test" in str(refusal)


@pytest.mark.parametrize("reason", ["", "  "])
def test_a_reason_is_wanted(reason: str) -> None:
    run = own_steps.before(WEATHER)
    for command in (
        SayNotApplicable(number_of(WEATHER), reason),
        SayApplicable(number_of(WEATHER), reason),
        DeferStep(
            LINE_TEST,
            LINE_TEST + 2,
            reason,
            put_off(job.before(LINE_TEST), LINE_TEST, LINE_TEST + 2),
            "",
            "",
            "",
        ),
    ):
        assert isinstance(refused(run, command), ReasonMissingError)


def test_what_does_not_apply_is_not_ticked() -> None:
    refusal = refused(without(own_steps.begun(), BRIEFING), FinishStep(number_of(BRIEFING)))

    assert "Sam Sample said that" in str(refusal)
    assert "no crane here" in str(refusal)


def test_a_step_that_is_done_or_tried_or_read_once_does_apply() -> None:
    done = refused(own_steps.before(WEATHER), SayNotApplicable(number_of(WEATHER) - 1, "x"))
    tried = do(job.before(job.TORQUE), job.torqued("100"))
    read = do(
        job.before(job.MEET_SWIVEL),
        FinishStep(job.MEET_SWIVEL, job.typed(job.before(job.MEET_SWIVEL), job.MEET_SWIVEL)),
        job.TECHNICIAN,
    )

    assert "is not open" in str(done)
    assert "was tried and is outside its limits" in str(refused(tried, SayNotApplicable(job.TORQUE, "x")))
    assert "waits for a second reading" in str(refused(read, SayNotApplicable(job.MEET_SWIVEL, "x")))


def test_it_is_said_once() -> None:
    refusal = refused(without(own_steps.begun(), BRIEFING), SayNotApplicable(number_of(BRIEFING), "again"))

    assert "said already that step" in str(refusal)


def test_the_last_step_behind_a_hold_point_stays() -> None:
    run, stage = own_steps.before(WEATHER), own_steps.step(WEATHER).stage
    others = [step.number for step in run.sheet.steps_of(stage) if step.key != WEATHER]
    held = replace(run, not_applicable=dict.fromkeys(others, NotApplicable("x", SUPERVISOR, job.START)))

    refusal = refused(held, SayNotApplicable(number_of(WEATHER), "x"))

    assert "which would hold nothing" in str(refusal)


def test_a_step_that_puts_gear_on_stays_where_another_takes_it_off() -> None:
    run = with_step(WEATHER, gear=(GearMove("camera arm", 1),))
    run = with_step(CAMERA, run, gear=(GearMove("camera arm", -1),))

    refusal = refused(run, SayNotApplicable(number_of(WEATHER), "x"))

    assert "Gear camera arm: it would go on 0 and come off 1 times" in str(refusal)


def test_a_step_that_alone_reads_a_serial_stays() -> None:
    run = with_step(WEATHER, readings=(ReadingWanted("serial", ReadingKind.SERIAL, "CAM-1"),))

    refusal = refused(run, SayNotApplicable(number_of(WEATHER), "x"))

    assert "Serial of CAM-1: no other step reads it" in str(refusal)


def with_step(key: str, run: Run | None = None, **changed: Any) -> Run:
    """Return the run in whose sheet a step asks for something else."""
    run = run or own_steps.before(WEATHER)
    steps = tuple(replace(step, **changed) if step.key == key else step for step in run.sheet.steps)
    return replace(run, sheet=replace(run.sheet, steps=steps))


def test_the_run_comes_to_its_end_without_it() -> None:
    run = without(own_steps.before(TWICE), TWICE, "tested once is enough")

    ended = walked_on(run, len(run.sheet.steps))

    assert ended.current() is None
    assert not any(problem.rule == "steps-open" for problem in missing(ended))
    assert len(ended.done) == ended.to_be_done == len(ended.sheet.steps) - 1


# --- taken back


def test_it_is_opened_again_while_nothing_rests_on_that() -> None:
    run = do(without(own_steps.before(WEATHER), WEATHER), SayApplicable(number_of(WEATHER), "a crane came"))

    assert run.floor_next == number_of(WEATHER)
    assert run.not_applicable == {}
    assert [type(item.event).__name__ for item in run.set_aside] == ["StepNotApplicable", "StepApplicable"]


def test_it_is_not_opened_again_behind_later_work() -> None:
    run = walked_on(without(own_steps.before(WEATHER), WEATHER), 1)

    refusal = refused(run, SayApplicable(number_of(WEATHER), "a crane came"))

    assert f"Step {number_of(WEATHER) + 1} was done without step {number_of(WEATHER)}" in str(refusal)


def test_only_what_was_said_not_to_apply_is_opened_again() -> None:
    assert "Nobody said" in str(refused(own_steps.begun(), SayApplicable(number_of(WEATHER), "x")))


def test_an_undone_tick_below_it_leaves_it_aside() -> None:
    run = without(own_steps.before(WEATHER), WEATHER)

    undone = do(run, UndoStep(number_of(WEATHER) - 1, "slip"))
    again = finish(undone, number_of(WEATHER) - 1)

    assert again.floor_next == number_of(WEATHER) + 1


def test_what_did_not_apply_to_a_part_is_asked_of_the_one_that_is_swapped_in() -> None:
    run = own_steps.begun()
    said = job.happened(run, StepNotApplicable(job.MEASURE_GAUGE + 1, "x"))
    (number,) = said.not_applicable

    swapped = do(said, SwapItem("GA-1", "TL-GA-0011", "S-77", "leaks"))

    assert number not in swapped.not_applicable


# --- behind a way back, and by a changed plan


def test_it_stays_aside_behind_a_way_back_and_can_be_opened_there() -> None:
    run = walked_on(without(own_steps.before(WEATHER), WEATHER), 2)
    first = number_of(WEATHER) - 1

    back = going_back(run, first)
    again = walked_on(back, len(back.way_back_left()))

    assert is_aside(again, WEATHER)
    assert number_of(WEATHER) in again.not_applicable
    assert number_now(again, WEATHER) > number_of(WEATHER)
    assert proof_of(again) == ()
    opened = do(walked_on(again, 1), SayApplicable(number_now(again, WEATHER), "it is watched this time"))
    assert opened.floor_next == number_now(again, WEATHER)
    assert number_of(WEATHER) in opened.not_applicable


def test_behind_a_way_back_it_is_opened_where_it_stands_again() -> None:
    # Nothing of a test is undone by a step, so the way back is at its end as it begins.
    back = going_back(without(own_steps.before(TWICE), TWICE), number_of(TWICE) - 1)
    assert back.way_back_left() == ()

    refusal = refused(back, SayApplicable(number_of(TWICE), "x"))
    opened = do(back, SayApplicable(number_now(back, TWICE), "x"))

    assert str(refusal) == (
        f"Step {number_of(TWICE)} lies behind a way back and stands again further on; open that one."
    )
    assert not is_aside(opened, TWICE)


def test_it_stays_aside_where_a_way_back_is_called_off() -> None:
    run = walked_on(without(own_steps.before(WEATHER), WEATHER), 2)

    off = called_off(going_back(run, number_of(WEATHER) - 1))

    assert off.not_applicable == run.not_applicable
    assert off.floor_next == run.floor_next


def test_nothing_is_set_aside_on_the_way_back() -> None:
    run = without(own_steps.before(CAMERA), CAMERA)
    back = going_back(run, number_of(WEATHER) - 1)

    for command in (SayNotApplicable(back.floor_next, "x"), SayApplicable(number_of(CAMERA), "x")):
        assert "on its way back" in str(refused(back, command))
    with pytest.raises(SetAsideError, match="on its way back"):
        put_off(back, back.floor_next, back.floor_next + 2)


def test_a_changed_plan_keeps_what_was_set_aside() -> None:
    run = put_off_until(job.before(LINE_TEST), LINE_TEST, BEFORE_LOWERING)

    changed = changed_to(run, with_a_joint_more(job.plan()))

    step = changed.sheet.steps[number_now(changed, job.step(LINE_TEST).key) - 1]
    until = changed.sheet.steps[number_now(changed, job.step(BEFORE_LOWERING).key) - 1]
    assert step.number == until.number - 1
    assert changed.deferred[step.number].reason == "no test pump yet"
    assert proof_of(changed) == ()


# --- a step that is put off


def test_a_deferred_step_stands_before_the_one_it_waits_for() -> None:
    before = job.before(LINE_TEST)

    run = put_off_until(before, LINE_TEST, BEFORE_LOWERING)

    keys = [step.key for step in run.sheet.steps]
    old = [step.key for step in before.sheet.steps]
    assert keys[: LINE_TEST - 1] == old[: LINE_TEST - 1]
    assert keys[LINE_TEST - 1 : BEFORE_LOWERING - 1] == [
        *old[LINE_TEST : BEFORE_LOWERING - 1],
        old[LINE_TEST - 1],
    ]
    assert keys[BEFORE_LOWERING - 1 :] == old[BEFORE_LOWERING - 1 :]
    assert run.is_deferred(BEFORE_LOWERING - 1)
    assert run.holds == before.holds
    assert proof_of(run) == ()


def test_a_deferred_step_cannot_be_passed() -> None:
    run = walked_on(put_off_until(job.before(LINE_TEST), LINE_TEST, BEFORE_LOWERING), 3)

    assert run.floor_next == BEFORE_LOWERING - 1
    assert not run.is_deferred(BEFORE_LOWERING - 1)
    refusal = refused(run, FinishStep(BEFORE_LOWERING))
    assert f"step {BEFORE_LOWERING - 1}" in str(refusal).lower()


def test_a_deferred_step_is_among_what_is_open() -> None:
    run = put_off_until(job.before(LINE_TEST), LINE_TEST, BEFORE_LOWERING)

    found = next(item for item in open_items(run) if item.kind is OpenKind.DEFERRED)

    text = job.step(BEFORE_LOWERING).text
    assert found.step == BEFORE_LOWERING - 1
    assert found.text == (
        f"Step {BEFORE_LOWERING - 1} is deferred until before step {BEFORE_LOWERING}, '{text}': "
        "no test pump yet (Sam Sample (supervisor))"
    )
    assert found in set_aside_at(run, run.sheet.steps[BEFORE_LOWERING].stage)


def test_whoever_signs_next_sees_what_did_not_apply() -> None:
    run = without(own_steps.before(WEATHER), WEATHER)
    stages = run.sheet.stages
    at = next(place for place, stage in enumerate(stages) if stage.id == own_steps.step(WEATHER).stage)
    after = next(stage for stage in stages[at + 1 :] if stage.hold_point is not None)

    (item,) = set_aside_at(run, after.id)

    assert "does not apply" in item.text
    assert "no crane here" in item.text


def test_what_breaks_a_law_is_found_and_not_signed() -> None:
    run = job.before(LINE_TEST)
    step = run.sheet.steps[LINE_TEST - 1]

    made = put_off(run, LINE_TEST, BEFORE_LOWERING + 1)

    assert not made.may_be_signed
    refusal = refused(run, DeferStep(step.number, BEFORE_LOWERING + 1, "later", made, "", "", ""))
    assert "cannot be put off until there" in str(refusal)
    assert "has not passed its test" in str(refusal)


def test_no_hold_point_is_passed() -> None:
    run = job.before(LINE_TEST)
    ahead = [stage for stage in run.sheet.stages if stage.hold_point and stage.first > LINE_TEST]
    held = ahead[0]

    with pytest.raises(SetAsideError, match="would pass the hold point"):
        put_off(run, LINE_TEST, held.first + 2)

    assert all(step.number <= held.first for step in places_until(run, run.sheet.steps[LINE_TEST - 1]))


def test_deck_work_is_free_in_its_order_anyway() -> None:
    with pytest.raises(SetAsideError, match="any order before the floor needs it"):
        put_off(job.begun(), job.MEASURE_GAUGE, job.TORQUE)


@pytest.mark.parametrize(
    ("number", "until", "says"),
    [
        (LINE_TEST, LINE_TEST + 1, "right before step"),
        (LINE_TEST, LINE_TEST - 1, "choose a floor step behind it"),
        (LINE_TEST, job.MEASURE_GAUGE, "choose a floor step behind it"),
        (LINE_TEST - 1, LINE_TEST + 2, "is not open"),
    ],
)
def test_a_place_that_is_none_is_refused(number: int, until: int, says: str) -> None:
    with pytest.raises(SetAsideError, match=says):
        put_off(job.before(LINE_TEST), number, until)


def test_what_was_worked_out_before_the_run_moved_on_is_refused() -> None:
    made = put_off(job.before(LINE_TEST), LINE_TEST, BEFORE_LOWERING)

    refusal = refused(job.after(LINE_TEST), DeferStep(LINE_TEST, BEFORE_LOWERING, "x", made, "", "", ""))

    assert "has moved on" in str(refusal)


def test_while_somebody_must_read_again_nothing_is_put_off() -> None:
    run = job.before(job.MEET_SWIVEL)
    read = do(run, FinishStep(job.MEET_SWIVEL, job.typed(run, job.MEET_SWIVEL)), job.TECHNICIAN)

    with pytest.raises(SetAsideError, match="waits for a second reading"):
        put_off(read, LINE_TEST, BEFORE_LOWERING)


def test_a_tick_before_a_deferral_is_still_taken_back() -> None:
    run = put_off_until(job.before(LINE_TEST), LINE_TEST, BEFORE_LOWERING)

    undone = do(run, UndoStep(LINE_TEST - 1, "slip"))

    assert undone.floor_next == LINE_TEST - 1
    assert proof_of(undone) == ()


def test_a_deferral_opens_no_way_behind_an_earlier_rewriting() -> None:
    back = going_back(job.before(LINE_TEST), LINE_TEST - 2)
    again = walked_on(back, len(back.way_back_left()) + 2)
    number = number_now(again, job.step(LINE_TEST).key)

    late = put_off_until(again, number, number + 4)

    assert isinstance(refused(late, UndoStep(LINE_TEST - 1, "slip")), BackOutError)


def test_a_deviation_at_a_deferred_step_goes_with_it() -> None:
    raised = do(
        job.before(LINE_TEST), RaiseDeviation(LINE_TEST, "no pump", "late", Disposition.REWORK), DRILLER
    )

    run = put_off_until(raised, LINE_TEST, BEFORE_LOWERING)

    assert [item.raised.step for item in run.deviations] == [BEFORE_LOWERING - 1]


def test_a_deferred_step_is_put_off_once_more_and_both_are_told() -> None:
    once = put_off_until(job.before(LINE_TEST), LINE_TEST, LINE_TEST + 2)

    twice = put_off_until(once, LINE_TEST + 1, BEFORE_LOWERING, "still no pump")

    assert twice.deferred[BEFORE_LOWERING - 1].reason == "still no pump"
    assert len(twice.set_aside) == 2


def test_a_deferred_step_stays_where_it_was_put_behind_a_way_back() -> None:
    run = walked_on(put_off_until(job.before(LINE_TEST), LINE_TEST, BEFORE_LOWERING), 1)

    back = going_back(run, LINE_TEST)
    again = walked_on(back, len(back.way_back_left()))

    step, until = number_now(again, job.step(LINE_TEST).key), number_now(again, job.step(BEFORE_LOWERING).key)
    assert step == until - 1
    assert again.is_deferred(step)
    assert proof_of(again) == ()


# --- a step that is brought forward again


def test_a_step_brought_forward_stands_again_where_it_stood() -> None:
    before = job.before(LINE_TEST - 1)
    late = put_off_until(before, LINE_TEST, BEFORE_LOWERING)

    again = brought(late, BEFORE_LOWERING - 1)

    assert again.sheet == before.sheet
    assert again.deferred == {}
    assert [item.kind for item in open_items(again)] == [item.kind for item in open_items(before)]
    assert [type(item.event).__name__ for item in again.set_aside] == ["StepDeferred", "StepBroughtForward"]
    assert proof_of(again) == ()


def test_where_its_place_is_passed_it_is_the_next() -> None:
    late = walked_on(put_off_until(job.before(LINE_TEST), LINE_TEST, BEFORE_LOWERING), 2)

    again = brought(late, BEFORE_LOWERING - 1)

    assert again.floor_next == LINE_TEST + 2
    assert again.sheet.steps[LINE_TEST + 1].key == job.step(LINE_TEST).key
    assert proof_of(again) == ()
    assert walked_on(again, 1).floor_next == LINE_TEST + 3


def test_a_step_put_off_twice_comes_back_to_where_it_stood_first() -> None:
    before = job.before(LINE_TEST - 1)
    once = put_off_until(before, LINE_TEST, LINE_TEST + 2)
    twice = put_off_until(once, LINE_TEST + 1, BEFORE_LOWERING)

    assert brought(twice, BEFORE_LOWERING - 1).sheet == before.sheet


def test_of_two_steps_that_are_put_off_one_comes_back_in_the_order_of_old() -> None:
    before = job.before(LINE_TEST - 1)
    first = put_off_until(before, LINE_TEST, BEFORE_LOWERING)
    second = put_off_until(first, LINE_TEST, BEFORE_LOWERING - 1)  # what stood behind it

    again = brought(second, BEFORE_LOWERING - 2)

    assert again.sheet.steps[LINE_TEST - 1].key == job.step(LINE_TEST + 1).key
    assert brought(again, BEFORE_LOWERING - 1).sheet == before.sheet


def test_right_before_what_it_waits_for_there_is_nothing_to_bring_forward() -> None:
    run = walked_on(put_off_until(job.before(LINE_TEST), LINE_TEST, BEFORE_LOWERING), 3)

    with pytest.raises(SetAsideError, match="stands where its order has it"):
        brought_forward(run, BEFORE_LOWERING - 1)


def as_though_put_off(run: Run, number: int, first: int) -> Run:
    """Return a run in which a step is put off that stood before another, as another plan could have it."""
    steps = list(run.sheet.steps)
    steps.insert(first - 1, steps.pop(number - 1))
    event = StepDeferred(1, first, number + 1, "x", first - 1, "c" * 64, "Later.", "s" * 64)
    signed = Signed(SUPERVISOR, "Later.", job.START, "s" * 64)
    before = Rewrite(event, signed, replace(run.sheet, steps=tuple(steps)))
    said = Deferred(job.step(number + 1).key, "x", SUPERVISOR, job.START)
    return replace(run, deferred={number: said}, rewrites=(before,))


def test_a_law_that_is_in_its_way_is_named() -> None:
    run = as_though_put_off(job.before(job.TORQUE - 1), job.TORQUE, job.TORQUE - 1)

    with pytest.raises(SetAsideError) as refusal:
        brought_forward(run, job.TORQUE)

    assert f"Step {job.TORQUE} cannot stand earlier than it does" in str(refusal.value)
    assert "To mend it: " in str(refusal.value)


def test_where_the_laws_do_not_let_it_stand_first_it_comes_behind_that() -> None:
    reach = job.first(Operation.LOWER_TO_GAUGE)
    run = as_though_put_off(job.before(reach - 3), reach, reach - 3)

    made = brought_forward(run, reach)

    assert made.may_be_signed
    assert stands_before(run, made, reach) == reach - 2


@pytest.mark.parametrize("number", [LINE_TEST, job.MEASURE_GAUGE])
def test_what_is_not_put_off_is_not_brought_forward(number: int) -> None:
    with pytest.raises(SetAsideError, match="is not put off, so there is nothing to bring forward"):
        brought_forward(job.before(LINE_TEST), number)


def test_what_was_worked_out_of_a_place_before_the_run_moved_on_is_refused() -> None:
    late = put_off_until(job.before(LINE_TEST), LINE_TEST, BEFORE_LOWERING)
    made = brought_forward(late, BEFORE_LOWERING - 1)
    moved_on = walked_on(late, 1)

    stale = refused(moved_on, BringForward(BEFORE_LOWERING - 1, "x", made, "", "", ""))
    silent = refused(late, BringForward(BEFORE_LOWERING - 1, " ", made, "", "", ""))

    assert "has moved on" in str(stale)
    assert isinstance(silent, ReasonMissingError)


def test_nothing_is_brought_forward_on_a_way_back() -> None:
    run = put_off_until(job.before(LINE_TEST), LINE_TEST, BEFORE_LOWERING)
    back = going_back(run, LINE_TEST - 2)
    (number,) = [at for at in back.deferred if back.is_open(at)]

    with pytest.raises(SetAsideError, match="on its way back"):
        brought_forward(back, number)
    again = walked_on(back, len(back.way_back_left()))
    (number,) = [at for at in again.deferred if again.is_open(at)]
    assert brought(again, number).deferred.keys().isdisjoint(again.deferred)


def test_a_changed_plan_has_what_was_brought_forward_where_the_plan_has_it() -> None:
    late = put_off_until(job.before(LINE_TEST - 1), LINE_TEST, BEFORE_LOWERING)

    changed = changed_to(brought(late, BEFORE_LOWERING - 1), with_a_joint_more(job.plan()))

    assert changed.deferred == {}
    at = number_now(changed, job.step(LINE_TEST).key)
    assert changed.sheet.steps[at - 2].key == job.step(LINE_TEST - 1).key


def test_a_repeated_check_on_deck_may_be_left_out() -> None:
    run = without(own_steps.begun(), DECK_TWICE)

    assert is_aside(run, DECK_TWICE)


def test_what_is_printed_says_of_a_deferred_step_why_it_stands_where_it_does() -> None:
    run = put_off_until(job.before(LINE_TEST), LINE_TEST, BEFORE_LOWERING)

    printed = [step for stage in remaining(run, "", job.START).stages for step in stage.steps]

    assert {step.number: step.deferred for step in printed if step.deferred} == {
        BEFORE_LOWERING - 1: "no test pump yet"
    }
