"""Swaps: another part in the place of a rejected one, and what follows for list, deck and checks."""

from dataclasses import replace
from datetime import timedelta

import pytest

from app.domain.commands import (
    AcceptDeviation,
    AddToLoadOut,
    Entered,
    FinishStep,
    OnPaper,
    RaiseDeviation,
    SettleItems,
    SwapItem,
)
from app.domain.compiler.compile import compile_plan
from app.domain.deciding.closing import unsettled_serials
from app.domain.events.deviations import Disposition
from app.domain.events.load_out import LoadOutAdded, Settlement
from app.domain.events.swaps import ItemSwapped
from app.domain.measured import plan_in
from app.domain.operations import Operation
from app.domain.parts import Part, PartKind
from app.domain.quantities import length, mass
from app.domain.refusals import (
    DeckWorkOpenError,
    FindingError,
    InStringError,
    ReadingError,
    ReasonMissingError,
    RightsError,
    SwapError,
)
from app.domain.rewriting.replanning import difference, replanned
from app.domain.run import Run, new_run
from app.domain.sheet import ReadingKind, ReadingWanted
from app.domain.stopping import finding_of, standing_in_the_way
from app.domain.swaps import swappable, swappables
from tests.domain import job
from tests.domain.job import HAND, SUPERVISOR, TECHNICIAN, asked, do, finish, refused, typed
from tests.domain.rewriting.walked import going_back
from tests.runner import free_serial

PUMP, MOTOR, SEAL = "PMP-1", "MTR-1", "SEAL-1"
OLD = "TL-PMP-0011"
CLAMP_PUMP = job.first(Operation.FIT_LIFTING_CLAMP, PUMP)
PICK_PUMP = job.first(Operation.PICK_UP_PART, PUMP)
INSPECT_PUMP = job.first(Operation.INSPECT_PART, PUMP)
LAND_PUMP = job.first(Operation.LAND_ON_TABLE, PUMP)
PICK_Y = job.first(Operation.PICK_UP_Y)


def given(name: str, value: str, unit: str) -> Entered:
    return Entered(name, value, unit)


def longer(feet: str) -> SwapItem:
    """Return the swap of the pump for one that is so long."""
    return SwapItem(PUMP, OLD, "P-NEW", "shaft is stiff", (given("length", feet, "ft"),))


def pump_of(run: Run) -> Part:
    found = plan_in(run).systems[0].part(PartKind.PUMP)
    assert found is not None
    return found


def deck_again(run: Run) -> Run:
    """Return the run after all open deck work was done again, with good readings."""
    for step in run.open_deck_steps():
        run = finish(run, step.number)
    return run


def on_to(run: Run, number: int) -> Run:
    """Return the run after every floor step before a step, as far as they are open."""
    run = deck_again(run)
    while run.floor_next < number:
        run = finish(run, run.floor_next)
    held = run.holding(run.sheet.steps[number - 1])
    return job.pass_hold(run, held.id) if held is not None else run


def test_a_rejected_part_is_replaced_by_one_that_is_added_to_the_list() -> None:
    run = job.before(CLAMP_PUMP)

    added, swapped = asked(run, longer("15.00"), TECHNICIAN)

    assert added == LoadOutAdded("P-NEW", PUMP, "shaft is stiff")
    assert isinstance(swapped, ItemSwapped)
    assert (swapped.place, swapped.item, swapped.old_serial, swapped.new_serial) == (PUMP, PUMP, OLD, "P-NEW")
    assert [(value.name, value.value, value.unit) for value in swapped.values] == [("length", "15.00", "ft")]


def test_the_old_serial_is_rejected_and_the_new_one_is_wanted_in_its_place() -> None:
    run = do(job.before(CLAMP_PUMP), longer("15.00"), TECHNICIAN)

    assert run.settled[OLD] == Settlement.REJECTED
    assert OLD not in run.used_serials
    assert run.load_out["P-NEW"] == PUMP
    assert (
        refused(run, FinishStep(INSPECT_PUMP, typed(run, INSPECT_PUMP, serial=OLD))).rule == "serial-settled"
    )
    assert asked(run, FinishStep(INSPECT_PUMP, typed(run, INSPECT_PUMP, serial="P-NEW")))


def test_the_deck_work_of_a_swapped_part_is_asked_again_and_its_first_readings_stay() -> None:
    before = job.before(CLAMP_PUMP)
    run = do(before, longer("15.00"), TECHNICIAN)

    reopened = {number for number in before.done if number not in run.done}

    assert INSPECT_PUMP in reopened
    assert job.first(Operation.CHECK_SHAFT, PUMP) in reopened
    assert job.first(Operation.BOLT_ON_DECK, PUMP) in reopened
    assert all(PUMP in job.step(number).parts for number in reopened)
    assert run.attempts[INSPECT_PUMP][-1].readings == before.done[INSPECT_PUMP].readings
    assert isinstance(refused(run, FinishStep(CLAMP_PUMP)), DeckWorkOpenError)


def test_lengths_and_weights_of_the_new_part_count_at_once_and_the_tape_counts_over_them() -> None:
    new = (given("length", "15.00", "ft"), given("max OD", "5.20", "in"), given("weight", "900", "lb"))
    run = do(job.before(CLAMP_PUMP), SwapItem(PUMP, OLD, "P-NEW", "stiff", new), TECHNICIAN)
    measured = f"length_{PUMP}".replace("-", "_")

    told = pump_of(run)
    readings = typed(run, INSPECT_PUMP, **{"serial": "P-NEW", measured: "15.10 ft"})
    taped = pump_of(do(run, FinishStep(INSPECT_PUMP, readings)))

    assert (told.length.typed, told.max_od.typed, told.weight.typed) == ("15.00 ft", "5.20 in", "900 lb")
    assert (taped.length.typed, taped.max_od.typed) == ("15.10 ft", "5.20 in")


def test_the_new_length_is_what_the_deck_work_is_then_judged_by() -> None:
    planned = job.plan().systems[0].part(PartKind.PUMP)
    assert planned is not None
    far = planned.length + length(5, "ft")
    new = longer(f"{far.si / 0.3048:.2f}")

    run = do(job.before(CLAMP_PUMP), new, TECHNICIAN)

    wanted = next(
        item for item in run.sheet.steps[INSPECT_PUMP - 1].readings if item.name == f"length {PUMP}"
    )
    was = next(item for item in job.step(INSPECT_PUMP).readings if item.name == f"length {PUMP}")
    assert wanted.low is not None and was.low is not None and was.target is not None
    assert wanted.target is not None and wanted.target.si == pytest.approx(far.si, abs=0.002)
    assert wanted.target.si - wanted.low.si == pytest.approx(was.target.si - was.low.si)
    assert deck_again(run).is_done(INSPECT_PUMP)


def test_legs_that_no_longer_close_stop_the_make_up_of_the_y() -> None:
    run = on_to(do(job.before(CLAMP_PUMP), longer("18.00"), TECHNICIAN), PICK_Y)

    stopped = refused(run, FinishStep(PICK_Y), job.DRILLER)

    assert isinstance(stopped, FindingError)
    assert [found.rule for found in stopped.problems] == ["legs-do-not-close"]
    assert "the bypass leg is too short" in str(stopped)
    assert "raise a deviation on this finding" in str(stopped)


def test_a_finding_that_is_accepted_as_it_is_lets_the_step_go_and_no_other() -> None:
    run = on_to(do(job.before(CLAMP_PUMP), longer("18.00"), TECHNICIAN), PICK_Y)
    (found,) = standing_in_the_way(run, job.step(PICK_Y))
    raised = RaiseDeviation(PICK_Y, "legs", "long pump", Disposition.USE_AS_IS, finding_of(found))

    run = do(run, raised, HAND)
    still = refused(run, FinishStep(PICK_Y), job.DRILLER)
    accepted = do(run, AcceptDeviation(1, Disposition.USE_AS_IS, "longer swivel is here"))
    other = do(
        do(run, RaiseDeviation(PICK_Y, "paint", "scratched", Disposition.USE_AS_IS), HAND),
        AcceptDeviation(2, Disposition.USE_AS_IS, "only paint"),
    )

    assert isinstance(still, FindingError)
    assert asked(accepted, FinishStep(PICK_Y), job.DRILLER)
    assert isinstance(refused(other, FinishStep(PICK_Y), job.DRILLER), FindingError)


def test_a_part_too_heavy_for_its_clamp_is_not_picked_up() -> None:
    heavy = SwapItem(PUMP, OLD, "P-NEW", "stiff", (given("weight", "9000", "lb"),))
    run = on_to(do(job.before(CLAMP_PUMP), heavy, TECHNICIAN), PICK_PUMP)

    stopped = refused(run, FinishStep(PICK_PUMP), job.DRILLER)

    assert isinstance(stopped, FindingError)
    assert {found.rule for found in stopped.problems} == {"gear-overloaded"}


def test_a_part_too_wide_for_the_hole_is_not_lowered() -> None:
    wide = SwapItem(PUMP, OLD, "P-NEW", "stiff", (given("max OD", "7.50", "in"),))
    run = on_to(do(job.before(CLAMP_PUMP), wide, TECHNICIAN), LAND_PUMP)

    stopped = refused(run, FinishStep(LAND_PUMP), job.DRILLER)

    assert isinstance(stopped, FindingError)
    assert {found.rule for found in stopped.problems} == {"does-not-fit"}
    assert any(PUMP in found.where for found in stopped.problems)


def test_nothing_stands_in_the_way_of_the_job_as_planned() -> None:
    for step in job.sheet().steps:
        assert standing_in_the_way(job.begun(), step) == ()


def test_what_is_in_the_string_is_not_swapped() -> None:
    run = job.after(CLAMP_PUMP)

    in_it = refused(run, SwapItem(PUMP, OLD, "P-NEW", "stiff"), TECHNICIAN)
    with_it = refused(job.after(PICK_PUMP), SwapItem("INT-1", "TL-INT-0011", "I-NEW", "bent"), TECHNICIAN)

    assert isinstance(in_it, InStringError)
    assert str(in_it) == (
        f"{PUMP} has been on the floor or in the string since step {CLAMP_PUMP}: back out to before it "
        "first, then swap it."
    )
    assert isinstance(with_it, InStringError)


def test_a_clamp_is_swapped_before_its_station_is_dressed() -> None:
    station = job.step(job.SECOND_CLAMP).dressed
    assert station is not None
    run = job.before(job.SECOND_CLAMP)
    old = free_serial(run, station.clamp_type)

    swapped = do(run, SwapItem(station.station, old, "BC-NEW", "bent"), TECHNICIAN)
    late = refused(job.after(job.SECOND_CLAMP), SwapItem(station.station, old, "BC-NEW", "bent"), TECHNICIAN)

    assert swapped.settled[old] == Settlement.REJECTED
    assert swapped.load_out["BC-NEW"] == station.clamp_type
    assert swapped.done == run.done
    assert asked(swapped, FinishStep(job.SECOND_CLAMP, typed(run, job.SECOND_CLAMP, serial="BC-NEW")))
    assert isinstance(late, InStringError)


def test_a_joint_is_swapped_by_what_is_painted_on_it_and_is_on_no_list() -> None:
    run = job.before(job.RIG)
    other = SwapItem("BP-02", "TL-BJ-0302", "TL-BJ-0399", "box galled", (given("length", "31.00", "ft"),))

    swapped = do(run, other, TECHNICIAN)
    measured = next(joint for joint in plan_in(swapped).systems[0].bypass.joints if joint.tag == "BP-02")

    assert measured.length.typed == "31.00 ft"
    assert swapped.load_out == run.load_out
    assert job.first(Operation.MEASURE, "BP-02") not in swapped.done
    assert str(refused(run, SwapItem("BP-02", "X", "Y", "galled"), TECHNICIAN)) == (
        "BP-02 is TL-BJ-0302, not 'X'. Read its serial again."
    )


def test_a_joint_without_a_known_serial_is_not_rejected_by_the_serial_of_something_else() -> None:
    run = job.before(job.RIG)
    of_part = SwapItem("P-008", OLD, "X-1", "galled", (given("length", "29.64", "ft"),))

    refusal = refused(run, of_part, TECHNICIAN)

    assert str(refusal) == f"Serial {OLD} is PMP-1, not P-008. Read the serial of the joint again."


def test_a_spare_brings_its_own_length_width_and_weight() -> None:
    spare = replace(pump_of(job.begun()), tag="SP-1", length=length(14.9, "ft"), weight=mass(700, "lb"))
    plan = replace(job.plan(), spares=(replace(spare, serial="TL-SP-1"),))
    run = deck_again(job.happened(new_run("run-1", plan, job.sheet()), job.RELEASE))

    swapped = do(run, SwapItem(PUMP, OLD, "TL-SP-1", "stiff"), TECHNICIAN)
    wrong = refused(run, SwapItem(SEAL, "TL-SEAL-0011", "TL-SP-1", "leaks"), TECHNICIAN)

    assert pump_of(swapped).length.si == pytest.approx(spare.length.si)
    assert pump_of(swapped).weight.si == pytest.approx(spare.weight.si)
    assert swapped.load_out["TL-SP-1"] == PUMP
    assert "Serial TL-SP-1 is a spare pump; here a SEAL-1 is wanted" in str(wrong)


def test_a_swap_says_which_goes_which_comes_and_why() -> None:
    run = job.before(CLAMP_PUMP)
    used = run.used_serials
    seal = next(serial for serial, at in used.items() if at == job.first(Operation.INSPECT_PART, SEAL))

    cases = {
        SwapItem(PUMP, "nothing", "P-NEW", "stiff"): "is not on the load-out list as PMP-1",
        SwapItem(PUMP, seal, "P-NEW", "stiff"): "is not on the load-out list as PMP-1",
        SwapItem(PUMP, OLD, "", "stiff"): "Give the serial of the one that takes its place",
        SwapItem(PUMP, OLD, OLD, "stiff"): "it must be another",
        SwapItem(PUMP, OLD, "TL-BC-0401", "stiff"): "is a bypass clamp; here a PMP-1 is wanted",
        SwapItem("nowhere", OLD, "P-NEW", "stiff"): "no part or station 'nowhere'",
        SwapItem(PUMP, OLD, "P-NEW", "stiff", (), 7): "There is no deviation 7",
        SwapItem("BP-01", "TL-BJ-0301", "TL-BC-0401", "bent"): "in the string since step",
    }

    for command, words in cases.items():
        assert words in str(refused(run, command, TECHNICIAN)), command
    assert isinstance(refused(run, SwapItem(PUMP, OLD, "P-NEW", " "), TECHNICIAN), ReasonMissingError)
    assert isinstance(refused(run, longer("15"), HAND), RightsError)
    assert isinstance(refused(run, SwapItem(PUMP, OLD, "", "stiff"), TECHNICIAN), SwapError)


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (given("length", "long", "ft"), "does not start with a number"),
        (given("length", "15", "lb"), "length"),
        (given("weight", "0", "lb"), "must be more than nothing"),
        (given("colour", "1", "ft"), "a swap takes no colour; it takes: length, max OD, weight"),
    ],
)
def test_a_value_that_cannot_be_is_refused_by_its_name(value: Entered, words: str) -> None:
    run = job.before(CLAMP_PUMP)

    odd = refused(run, SwapItem(PUMP, OLD, "P-NEW", "stiff", (value,)), TECHNICIAN)

    assert isinstance(odd, ReadingError)
    assert odd.field == value.name
    assert words in str(odd)


def test_what_was_sent_back_does_not_come_in_and_what_was_rejected_is_settled_for_the_close() -> None:
    run = job.before(CLAMP_PUMP)
    sent = do(run, SettleItems(("TL-BC-0406",), Settlement.RETURNED, "not needed"))
    station = job.step(job.SECOND_CLAMP).dressed
    assert station is not None

    back = refused(
        job.before(job.SECOND_CLAMP),
        SwapItem(station.station, free_serial(job.before(job.SECOND_CLAMP), "bypass clamp"), OLD, "bent"),
        TECHNICIAN,
    )
    last = job.step([item.number for item in job.sheet().steps if item.dressed is not None][-1]).dressed
    assert last is not None
    gone = refused(
        sent, SwapItem(last.station, free_serial(sent, "bypass clamp"), "TL-BC-0406", "bent"), TECHNICIAN
    )
    swapped = do(run, longer("15.00"), TECHNICIAN)

    assert "is a PMP-1; here a bypass clamp is wanted" in str(back)
    assert "is accounted for as returned" in str(gone)
    assert OLD not in unsettled_serials(swapped)


def test_each_tag_and_station_of_the_sheet_stands_once_in_the_list() -> None:
    places = [item.place for item in swappables(job.begun())]

    assert len(places) == len(set(places))
    assert {PUMP, "YB-1", "ML-1", "MC-1", "P-001", "BP-01", "MTR-1 base"} <= set(places)
    assert swappable(job.begun(), "nowhere") is None


def test_a_serial_is_rejected_once_and_only_where_it_is() -> None:
    swapped = do(job.before(CLAMP_PUMP), SwapItem(PUMP, OLD, "P-NEW", "stiff"), TECHNICIAN)
    listed = do(job.before(CLAMP_PUMP), AddToLoadOut("P-SECOND", PUMP, "a second one came"))
    dressed = job.after(job.FIRST_CLAMP)
    used = next(serial for serial, at in dressed.used_serials.items() if at == job.FIRST_CLAMP)
    station = job.step(job.SECOND_CLAMP).dressed
    assert station is not None

    twice = refused(swapped, SwapItem(PUMP, OLD, "P-THIRD", "stiff"), TECHNICIAN)
    unread = refused(listed, SwapItem(PUMP, "P-SECOND", "P-THIRD", "stiff"), TECHNICIAN)
    elsewhere = refused(dressed, SwapItem(station.station, used, "BC-NEW", "bent"), TECHNICIAN)

    assert str(twice) == f"Serial {OLD} is accounted for as rejected already."
    assert str(unread) == f"{PUMP} was read as {OLD}, not P-SECOND. Swap the one that was read."
    assert str(elsewhere) == (
        f"Serial {used} was used at step {job.FIRST_CLAMP}; it is not free to be swapped here."
    )


def test_a_serial_comes_in_once_and_only_where_its_kind_is_wanted() -> None:
    dressed = job.after(job.FIRST_CLAMP)
    used = next(serial for serial, at in dressed.used_serials.items() if at == job.FIRST_CLAMP)
    station = job.step(job.SECOND_CLAMP).dressed
    assert station is not None
    old = free_serial(dressed, station.clamp_type)

    clamp = refused(dressed, SwapItem(station.station, old, used, "bent"), TECHNICIAN)
    joint = refused(job.before(job.RIG), SwapItem("BP-02", "TL-BJ-0302", OLD, "galled"), TECHNICIAN)

    assert str(clamp) == f"Serial {used} was used already, at step {job.FIRST_CLAMP}. Take another."
    assert str(joint) == f"Serial {OLD} is a PMP-1; a joint takes the place of a joint."


def test_a_joint_of_a_row_that_is_partly_in_the_string_is_swapped_by_its_length() -> None:
    last = job.plan().production.tubing.joints[-1].tag
    run = next(
        it
        for it in (job.before(number) for number in range(job.LAST, 0, -1))
        if (found := swappable(it, last)) is not None and found.wants_length and not found.on_floor_since
    )

    refusal = refused(run, SwapItem(last, "", "J-NEW", "galled"), TECHNICIAN)

    assert isinstance(refusal, ReadingError)
    assert refusal.field == "length"
    assert f"{last} was measured in a row with joints that are in the string" in str(refusal)


def test_a_spare_crossover_takes_the_place_of_the_crossover_of_the_tubing() -> None:
    whole = job.plan()
    crossover = Part(
        "XO-9",
        PartKind.CROSSOVER,
        "crossover to the tubing",
        length(1.0, "ft"),
        length(4.5, "in"),
        mass(30, "lb"),
        whole.production.tubing.connection,
        serial="X-9",
    )
    spare = replace(crossover, tag="XO-S", serial="X-S")
    plan = replace(whole, production=replace(whole.production, crossover=crossover), spares=(spare,))
    sheet, _ = compile_plan(plan)
    assert sheet is not None
    run = job.happened(new_run("run-1", plan, sheet), job.RELEASE)

    swapped = do(run, SwapItem("XO-9", "X-9", "X-S", "galled"), TECHNICIAN)

    assert swapped.load_out["X-S"] == "XO-9"


def judged_by(run: Run) -> ReadingWanted:
    """Return the length of the pump that its deck work asks for."""
    readings = run.sheet.steps[INSPECT_PUMP - 1].readings
    return next(wanted for wanted in readings if wanted.kind is ReadingKind.LENGTH)


def test_a_second_swap_of_which_nothing_is_known_is_judged_by_the_plan() -> None:
    run = job.before(CLAMP_PUMP)
    once = do(run, longer("15.00"), TECHNICIAN)

    twice = do(once, SwapItem(PUMP, "P-NEW", "P-THIRD", "that one too"), TECHNICIAN)

    assert judged_by(once) != judged_by(run)
    assert judged_by(twice) == judged_by(run)
    assert pump_of(twice).length == pump_of(job.begun()).length


def test_a_way_back_after_a_swap_keeps_by_what_the_next_one_is_judged() -> None:
    run = job.before(CLAMP_PUMP)
    once = on_to(do(run, longer("15.00"), TECHNICIAN), CLAMP_PUMP)
    back = going_back(once, CLAMP_PUMP - 1)

    twice = do(back, SwapItem(PUMP, "P-NEW", "P-THIRD", "that one too"), TECHNICIAN)

    assert judged_by(back) == judged_by(once)
    assert judged_by(twice) == judged_by(run)


def test_a_changed_plan_shows_no_difference_where_only_a_part_was_swapped() -> None:
    run = on_to(do(job.before(CLAMP_PUMP), longer("15.00"), TECHNICIAN), CLAMP_PUMP)

    made = replanned(run, job.plan(), job.sheet())

    assert difference(run, made).is_none


def test_what_was_read_on_paper_before_a_swap_is_asked_about_before_it_counts_for_the_new_part() -> None:
    run = do(job.before(CLAMP_PUMP), longer("15.00"), TECHNICIAN)
    at = run.swaps[-1].at - timedelta(minutes=5)
    good, said = (
        tuple(replace(item, confirmed=confirmed) for item in typed(run, INSPECT_PUMP, serial="P-NEW"))
        for confirmed in (False, True)
    )

    asked_about = refused(run, FinishStep(INSPECT_PUMP, good, OnPaper(at, SUPERVISOR)))
    after = do(run, FinishStep(INSPECT_PUMP, good, OnPaper(run.swaps[-1].at, SUPERVISOR)))
    counted = do(run, FinishStep(INSPECT_PUMP, said, OnPaper(at, SUPERVISOR)))

    assert isinstance(asked_about, ReadingError)
    assert asked_about.question
    assert f"before P-NEW took the place of {OLD}: is it of P-NEW?" in str(asked_about)
    assert after.is_done(INSPECT_PUMP)
    assert counted.is_done(INSPECT_PUMP)
