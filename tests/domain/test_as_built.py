"""The install record of a run that was done purely in the domain."""

from dataclasses import replace
from functools import cache

import pytest

from app.domain import as_built_work
from app.domain.as_built import install_record, load_out_words
from app.domain.as_built_parts import amount, part_serials, typed
from app.domain.commands import (
    AcceptHandover,
    AddNote,
    AddPhoto,
    AddToLoadOut,
    BeginHold,
    CheckHandover,
    CloseRun,
    CorrectReading,
    DraftHandover,
    Entered,
    FinishStep,
    RaiseDeviation,
    SettleItems,
    SignRun,
    TakeHandoverBack,
    TalkHandoverThrough,
    UndoStep,
)
from app.domain.deciding.closing import uncounted, unsettled_serials
from app.domain.events.deviations import Disposition
from app.domain.events.event import Happened
from app.domain.events.holds import Cause, HoldEnded, LookBack
from app.domain.events.load_out import Settlement
from app.domain.events.remarks import NoteAdded
from app.domain.events.who import Who
from app.domain.gear import Clamp
from app.domain.install_record import InstallRecord, LoggedEvent, ReadingVerdict, Verdict
from app.domain.plan import Plan
from app.domain.quantities import Length, in_unit, length, read_quantity
from app.domain.record_changes import LostTime
from app.domain.record_steps import StepReading
from app.domain.record_values import Amount
from app.domain.run import Run
from app.domain.sheet import Dressed, Lane, ReadingKind, Sheet
from app.domain.standing import open_items
from tests.domain import job
from tests.domain.job import (
    FIRST_CLAMP,
    HAND,
    LINE_TEST,
    REPRESENTATIVE,
    START,
    SUPERVISOR,
    TECHNICIAN,
    TEST_LEAD,
    TORQUE,
    after,
    begun,
    do,
    finish,
    happened,
    torqued,
    with_deviation,
)
from tests.runner import send_back

RELIEF = Who("p-rel", "Rita Relief", "supervisor")
ENTRY = LoggedEvent("run-1", 1, "plan-released", 1, "2031-05-04", "p-sup", "{}", "0" * 64, "e" * 64)


@cache
def eventful() -> Run:
    """Return a closed run in which much went otherwise than planned, and was put right."""
    run = do(begun(), AddNote(0, "Wind 12 knots"), HAND)
    for number in range(1, TORQUE):
        if number == TEST_LEAD:
            odd = job.typed(run, number, resistance_A_B="1.90 ohm", resistance_B_C="1.20 ohm")
            run = do(run, FinishStep(number, odd), TECHNICIAN)
        run = finish(run, number)
    run = with_deviation(do(run, torqued("440"), HAND))
    run = do(do(run, torqued("441"), HAND), CorrectReading(TORQUE, torqued("442").readings[0], "misread"))
    for number in range(TORQUE + 1, len(run.sheet.steps) + 1):
        run = finish(run, number)
        if number == LINE_TEST:
            run = finish(do(run, UndoStep(number, "gauge was not zeroed")), number)
    run = do(run, AddPhoto(FIRST_CLAMP, "d" * 64, "clamp.png", "image/png"), TECHNICIAN)
    run = do(run, AddToLoadOut("X-1", "bypass clamp", "came late"))
    run = do(run, SettleItems(unsettled_serials(run), Settlement.RETURNED, "not needed"))
    for count in uncounted(run):
        run = do(run, send_back(count))
    for person in (SUPERVISOR, REPRESENTATIVE):
        run = do(run, SignRun("as the record says", "b" * 64), person)
    return do(run, CloseRun("done"))


@cache
def record() -> InstallRecord:
    return install_record(eventful(), "the plan", (ENTRY,))


def time_of(minute: int) -> str:
    return START.replace(hour=START.hour + minute // 60, minute=minute % 60).isoformat(timespec="seconds")


def test_the_record_names_job_well_run_and_plan(plan: Plan) -> None:
    made = record()

    assert made.job.number == "DEMO-1"
    assert made.job.invented
    assert made.well.name == "Make-Believe 1, Make-Believe field"
    assert made.well.setting_depth == Amount("303", "ft")
    assert made.well.casing[0].outside_diameter == Amount("9 5/8", "in")
    assert made.run.id == "run-1"
    assert made.run.released_at == time_of(1)
    assert made.run.closed_at == eventful().closed_at.isoformat(timespec="seconds")  # type: ignore[union-attr]
    assert (made.plan.fingerprint, made.plan.text) == ("f" * 64, "the plan")
    assert made.sheet_fingerprint == "s" * 64
    assert (made.log, made.head) == ((ENTRY,), "e" * 64)


def test_a_run_without_a_log_has_no_head() -> None:
    assert install_record(begun(), "", ()).head == ""


def test_an_open_run_has_a_record_of_what_was_done_so_far() -> None:
    made = install_record(after(TORQUE), "", ())

    assert made.run.closed_at == ""
    assert made.clamps == ()
    assert [item.title for item in made.hold_points] == [
        "Talk before the first lift (Pump system: bypass leg)"
    ]
    assert made.steps[TORQUE - 1].outcome == "passed"
    assert made.steps[TORQUE].outcome == "not finished"
    assert {item.verdict for item in made.connections} == {Verdict.PASSED, Verdict.OPEN}
    assert {item.item: item.verdict for item in made.counts}["LG-NB-287"] is Verdict.FAILED


def test_every_part_that_hangs_in_the_well_stands_bottom_up_with_its_serial(plan: Plan) -> None:
    parts = record().parts

    (system,) = plan.systems
    tags = {part.tag for part in system.every_part()} | {system.y_block.tag, plan.production.hanger.tag}
    assert {item.tag for item in parts} == tags
    assert len(parts) == len(tags)
    assert all(item.serial for item in parts)
    pump_leg = [item for item in parts if item.leg == parts[0].leg]
    assert [item.tag for item in pump_leg] == ["GA-1", "MTR-1", "SEAL-1", "INT-1", "PMP-1", "DIS-1"]
    depths = [float(item.top.value) for item in pump_leg]
    assert depths == sorted(depths, reverse=True)


def test_a_part_stands_with_the_length_that_was_measured_as_it_was_typed() -> None:
    gauge = record().parts[0]

    assert (gauge.tag, gauge.kind, gauge.serial) == ("GA-1", "gauge", "TL-GA-0011")
    assert gauge.length == Amount("2.0000", "ft")
    assert gauge.max_od == Amount("4.56", "in")
    assert float(gauge.base.value) - float(gauge.top.value) == pytest.approx(2.0, abs=0.011)


def test_the_base_of_a_y_block_is_where_its_pump_leg_hangs_and_where_its_clamp_is_told() -> None:
    made = record()
    depths = {part.tag: (part.top, part.base) for part in made.parts}
    (at_head,) = (clamp.depth for clamp in made.clamps if clamp.station == "YB-1 base")

    assert depths["YB-1"][1] == depths["DIS-1"][0] == at_head


def test_a_crossover_of_the_production_tubing_stands_in_the_record_too(plan: Plan) -> None:
    crossover = replace(plan.production.hanger, tag="XO-1")
    production = replace(plan.production, crossover=crossover)
    (system,) = plan.systems
    bare = replace(system, entry_guide=None, safety_sub=None)
    run = replace(begun(), plan=replace(plan, production=production, systems=(bare,)))

    tags = [item.tag for item in install_record(run, "", ()).parts]

    assert tags[-2:] == ["XO-1", "TH-1"]
    assert not {"EG-1", "SS-1"} & set(tags)


def test_every_station_of_the_sheet_has_its_clamp(sheet: Sheet) -> None:
    clamps = record().clamps

    assert [item.station for item in clamps] == [
        step.dressed.station for step in sheet.steps if step.dressed is not None
    ]
    assert len({item.serial for item in clamps}) == 4
    assert {item.bolt_torque for item in clamps} == {Amount("50.0000", "ft*lbf")}
    assert all(float(item.depth.value) > 0 and item.depth.unit == "ft" for item in clamps)


def test_a_clamp_at_a_station_that_the_plan_lost_or_without_a_torque_leaves_that_empty(plan: Plan) -> None:
    (system,) = plan.systems
    run = after(FIRST_CLAMP)
    done = replace(run.done[FIRST_CLAMP], readings=run.done[FIRST_CLAMP].readings[:1])
    lost = replace(plan, systems=(replace(system, clamps=system.clamps[1:]),))

    (clamp,) = install_record(replace(run, plan=lost, done={**run.done, FIRST_CLAMP: done}), "", ()).clamps

    assert (clamp.depth, clamp.bolt_torque) == (Amount(), Amount())


def test_a_clamp_between_the_ends_of_a_part_comes_to_its_own_depth(plan: Plan) -> None:
    (system,) = plan.systems
    run = after(FIRST_CLAMP)
    between = Clamp("MTR-1", "bypass clamp", below_top=length(5.0, "ft"))
    step = run.sheet.steps[FIRST_CLAMP - 1]
    there = replace(step, dressed=Dressed(between.station, between.type))
    steps = tuple(there if each is step else each for each in run.sheet.steps)
    moved = replace(plan, systems=(replace(system, clamps=(between, *system.clamps[1:])),))

    (at_base,) = install_record(run, "", ()).clamps
    (clamp,) = install_record(replace(run, plan=moved, sheet=replace(run.sheet, steps=steps)), "", ()).clamps

    motor = next(part for part in system.parts if part.tag == "MTR-1")
    assert clamp.station == "MTR-1 5.0 ft below top"
    higher = float(at_base.depth.value) - float(clamp.depth.value)
    assert higher == pytest.approx(in_unit(motor.length, "ft") - 5.0, abs=0.011)


def test_every_connection_of_the_sheet_stands_with_its_window_and_every_attempt(sheet: Sheet) -> None:
    made = {item.step: item for item in record().connections}

    assert list(made) == [step.number for step in sheet.steps if step.joined is not None]
    torqued_joint = made[TORQUE]
    assert torqued_joint.joins == "BP-02 to BP-01"
    assert (torqued_joint.low, torqued_joint.high) == (Amount("450", "ft*lbf"), Amount("550", "ft*lbf"))
    assert torqued_joint.dope == "metal-free thread compound"
    assert [(item.applied.value, item.verdict) for item in torqued_joint.attempts] == [
        ("440", ReadingVerdict.BELOW_WINDOW),
        ("442", ReadingVerdict.BELOW_WINDOW),
    ]
    assert torqued_joint.attempts[0].by == "Flo Fictive (floor crew)"
    assert torqued_joint.attempts[0].tool == "T-WRENCH"
    assert torqued_joint.verdict is Verdict.BY_DEVIATION
    assert torqued_joint.deviations == ("1",)
    others = [item for item in made.values() if item is not torqued_joint]
    assert {item.verdict for item in others} == {Verdict.PASSED}
    assert {len(item.attempts) for item in others} == {1}


def test_a_reading_outside_without_a_deviation_is_shown_as_failed() -> None:
    run = after(TORQUE)
    outside = job.taken("torque", "440", "ft*lbf", ReadingVerdict.BELOW_WINDOW)
    done = replace(run.done[TORQUE], readings=(outside,))

    made = as_built_work.connections(replace(run, done={**run.done, TORQUE: done}))

    assert next(item for item in made if item.step == TORQUE).verdict is Verdict.FAILED


def test_only_the_torque_of_a_connection_is_an_attempt_at_it() -> None:
    run = after(TORQUE)
    readings = (job.taken("serial", "X-1"), *run.done[TORQUE].readings)

    made = as_built_work.connections(
        replace(run, done={**run.done, TORQUE: replace(run.done[TORQUE], readings=readings)})
    )

    (attempt,) = next(item for item in made if item.step == TORQUE).attempts
    assert attempt.applied == Amount("500.0000", "ft*lbf")


def test_every_joint_stands_in_the_tally_in_the_order_in_which_it_was_run(plan: Plan) -> None:
    tally = record().tally

    assert [line.number for line in tally] == list(range(1, 11))
    assert {line.tag for line in tally if line.string != "production tubing"} == {"BP-01", "BP-02"}
    production = [line for line in tally if line.string == "production tubing"]
    assert [line.tag for line in production] == [joint.tag for joint in plan.production.tubing.joints]
    assert production[0].length == Amount("30.1200", "ft")
    cumulative = [float(line.cumulative.value) for line in production]
    assert cumulative == sorted(cumulative)


def test_every_test_stands_with_its_readings_limits_and_verdict(sheet: Sheet) -> None:
    tests = record().tests

    assert {item.step for item in tests} == {
        step.number for step in sheet.steps if step.operation in as_built_work.TESTS
    }
    lead = [item for item in tests if item.step == TEST_LEAD]
    assert [item.verdict for item in lead] == [Verdict.FAILED, Verdict.PASSED]
    assert lead[0].item == "ML-1"
    readings = {item.name: item for item in lead[0].readings}
    assert (readings["resistance A-B"].low, readings["resistance A-B"].high) == ("1.10 ohm", "1.90 ohm")
    assert readings["resistance A-B"].verdict is ReadingVerdict.ABOVE_WINDOW
    assert readings["insulation to ground"].high == ""


def test_a_talk_that_a_changed_plan_carried_to_another_name_is_told_once() -> None:
    run = eventful()
    held = [stage for stage in run.sheet.stages if stage.hold_point is not None]
    carried = replace(run, holds={**run.holds, held[1].id: run.holds[held[0].id]})

    titles = [item.title for item in install_record(carried, "the plan", (ENTRY,)).hold_points]

    assert [title for title in titles if held[0].title in title] == titles[:1]
    assert not any(held[1].title in title for title in titles)


def test_a_test_that_was_taken_back_passed_and_is_shown_as_taken_back() -> None:
    line = [item for item in record().tests if item.step == LINE_TEST]

    assert [(item.kind, item.verdict) for item in line] == [
        ("pressure", Verdict.TAKEN_BACK),
        ("pressure", Verdict.PASSED),
    ]


def test_every_hold_point_stands_with_those_who_were_there_and_signed(sheet: Sheet) -> None:
    held = record().hold_points

    points = [stage.hold_point for stage in sheet.stages if stage.hold_point is not None]
    assert len(held) == len(points) == 5
    assert [item.topics for item in held] == [point.topics for point in points]
    assert all(item.released_at for item in held)
    assert {len(item.signatures) for item in held} == {len(job.CREW)}
    assert held[0].attendance[0].name == "Sam Sample"
    assert held[0].signatures[0].meaning == "I was there."


def test_a_hasty_signature_is_not_hidden() -> None:
    run = after(TORQUE)
    hold = run.hold("first-lift-pump")
    hasty = replace(hold, signatures=(replace(hold.signatures[0], hasty=True),))

    (held,) = install_record(replace(run, holds={"first-lift-pump": hasty}), "", ()).hold_points

    assert held.signatures[0].meaning == "I was there. (within seconds of the one before)"


def test_a_deviation_stands_with_who_raised_and_who_accepted_it() -> None:
    (deviation,) = record().deviations

    assert (deviation.id, deviation.step, deviation.what) == ("1", TORQUE, "low torque")
    assert deviation.disposition == "use as is"
    assert deviation.raised_by == "Flo Fictive (floor crew)"
    assert deviation.accepted_by == "Sam Sample (supervisor)"
    assert deviation.reason == "looked at it"
    assert deviation.accepted_at > deviation.raised_at


def test_an_open_deviation_stands_with_what_was_proposed() -> None:
    run = do(begun(), RaiseDeviation(1, "what", "why", Disposition.REPLACE))

    (deviation,) = install_record(run, "", ()).deviations

    assert deviation.disposition == "replace"
    assert (deviation.accepted_by, deviation.accepted_at, deviation.reason) == ("", "", "")


def test_a_correction_keeps_the_first_entry_legible() -> None:
    (correction,) = record().corrections

    assert (correction.step, correction.reading) == (TORQUE, "torque")
    assert (correction.old, correction.new) == (Amount("441", "ft*lbf"), Amount("442", "ft*lbf"))
    assert (correction.reason, correction.by) == ("misread", "Sam Sample (supervisor)")


def test_a_tick_that_was_taken_back_stands_with_its_reason() -> None:
    (undone,) = record().undone_ticks

    assert (undone.step, undone.reason) == (LINE_TEST, "gauge was not zeroed")
    assert undone.text == job.step(LINE_TEST).text


def test_notes_and_changes_of_the_load_out_list_stand_in_their_order() -> None:
    notes = record().notes

    assert [(item.step, item.text) for item in notes] == [
        (0, "Wind 12 knots"),
        (0, "Added to the load-out list: X-1 (bypass clamp). Reason: came late"),
        (
            0,
            "Load-out list, returned: TL-BC-0405, TL-BC-0406, TL-SEAL-0019, X-1. Reason: not needed",
        ),
        (
            0,
            "Counted cross-coupling protector, 2-7/8 in: 12 came, 3 went back, 0 rejected. "
            "Reason: not needed",
        ),
    ]
    assert load_out_words(Happened(1, START, HAND, NoteAdded(0, "wind"))) == ""


def test_a_photo_stands_by_its_name_and_hash() -> None:
    (photo,) = record().photos

    assert (photo.hash, photo.name, photo.step, photo.by) == (
        "d" * 64,
        "clamp.png",
        FIRST_CLAMP,
        "Toni Testcase (pump technician)",
    )


def test_temporary_gear_of_a_finished_run_is_all_off_again() -> None:
    counts = record().counts

    assert {item.verdict for item in counts} == {Verdict.PASSED}
    assert {item.item: (item.on, item.off) for item in counts}["LG-NB-287"] == (2, 2)


def test_every_step_stands_with_who_when_and_what_was_read(sheet: Sheet) -> None:
    steps = record().steps

    assert [item.text for item in steps] == [step.text for step in sheet.steps]
    assert steps[0].outcome == "done"
    assert steps[TORQUE - 1].outcome == "accepted by deviation"
    assert steps[TORQUE - 1].readings == (StepReading("torque", "442", "ft*lbf"),)
    assert all(item.by and item.at for item in steps)


def test_all_signatures_stand_from_the_release_to_the_close() -> None:
    signatures = record().signatures

    assert [(item.name, item.meaning) for item in signatures] == [
        ("Sam Sample", "I release it."),
        ("Sam Sample", "as the record says"),
        ("Carla Contrived", "as the record says"),
    ]


def test_a_run_that_nobody_released_has_no_signatures() -> None:
    unreleased = replace(begun(), released=None)

    assert install_record(unreleased, "", ()).signatures == ()
    assert install_record(unreleased, "", ()).run.released_at == ""


def test_serials_are_known_by_the_part_that_they_were_read_on() -> None:
    serials = part_serials(eventful())

    wanted = {
        item.item
        for step in job.sheet().steps
        if step.dressed is None
        for item in step.readings
        if item.kind is ReadingKind.SERIAL
    }
    assert set(serials) == wanted
    assert serials["ML-1"] == "TL-ML-0011"


def test_an_amount_is_kept_as_it_was_typed_with_or_without_a_blank() -> None:
    assert amount(read_quantity("12.5ft", Length)) == Amount("12.5", "ft")
    assert amount(read_quantity("9 5/8 in", Length)) == Amount("9 5/8", "in")
    assert amount(Length(1.0)) == Amount()
    assert typed(read_quantity("12.5ft", Length), "m") == Amount("12.5", "ft")
    assert typed(Length(1.0), "m") == Amount("1.00", "m")


def test_the_steps_of_the_floor_were_done_in_their_order() -> None:
    floor = [item.at for item in record().steps if job.step(item.number).lane is Lane.FLOOR]

    assert floor == sorted(floor)


def test_readings_are_kept_as_typed_in_every_place_of_the_record() -> None:
    run = do(begun(), FinishStep(job.MEASURE_JOINT, (Entered("length BP-01", "20.40", "ft", "T-TAPE"),)))

    made = install_record(run, "", ())

    assert made.tally[0].length == Amount("20.40", "ft")
    assert made.steps[job.MEASURE_JOINT - 1].readings == (StepReading("length BP-01", "20.40", "ft"),)


def test_a_hold_stands_in_the_record_with_its_cause_and_what_it_cost() -> None:
    run = do(begun(), BeginHold(Cause.PARTS, "slips of the right size"), HAND)
    run = happened(run, HoldEnded(LookBack.NOT_ASKED, 0, "found"), SUPERVISOR)
    run = do(run, BeginHold(Cause.REST), HAND)

    made = install_record(run, "", (ENTRY,))

    first, second = made.standstills
    assert (first.cause, first.words, first.by) == (
        "waiting for parts or gear",
        "slips of the right size",
        HAND.titled,
    )
    assert (first.look, first.looked_at, first.ended_words) == ("not asked for", 0, "found")
    assert first.ended_by == SUPERVISOR.titled
    assert (second.look, second.ended_by, second.ended_at) == ("", "", "")
    assert made.lost_time == (
        LostTime("waiting for parts or gear", Amount("1", "min"), 1),
        LostTime("meal or rest", Amount("0", "min"), 1),
    )
    assert install_record(begun(), "", (ENTRY,)).lost_time == ()


def test_a_handover_stands_in_the_record_with_what_was_read_again() -> None:
    run = do(begun(), DraftHandover("all quiet"))
    run = do(run, TalkHandoverThrough(tuple(item.text for item in open_items(run))))
    run = do(run, CheckHandover((), "5"), RELIEF)
    run = do(run, AcceptHandover("wrong page", "I take over.", "c" * 64), RELIEF)
    run = do(do(run, DraftHandover("back again"), RELIEF), TakeHandoverBack("he stays"), RELIEF)

    over, back = install_record(run, "", (ENTRY,)).handovers

    assert (over.outgoing, over.incoming) == (SUPERVISOR.titled, RELIEF.titled)
    assert over.open_items == tuple(item.text for item in open_items(run))
    assert (over.words, over.settled, over.meaning) == ("all quiet", "wrong page", "I take over.")
    (read,) = over.read_again
    assert (read.typed, read.recorded, read.agrees) == ("5", str(run.floor_next), False)
    assert (back.incoming, back.talked_at, back.taken_back) == ("", "", "he stays")
    assert over.ended_at > over.at
