"""Changes to the compiled sheet: numbering, stages, deck work and hold points stay whole."""

from dataclasses import replace

import pytest

from app.domain.crew import StageKind
from app.domain.edits.bench import Bench, CannotApplyError
from app.domain.edits.deciding import EditError
from app.domain.edits.kinds import DropStep, MoveStep, Place, RepeatStep, RewordStep
from app.domain.operations import Operation
from app.domain.sheet import ChangeKind, Lane, Sheet, Stage, Step
from tests.domain.edits.desk import AT, OWN, Desk, keys, needed_by, own

RIG = "LG-EL-287/LG-SL-287/rig-for-size"
NUBBIN = "BP-01/fit-lift-nubbin"
PICK_UP = "EG-1/BP-01/pick-up-joint"
GUIDE_ON_DECK = "BP-01/EG-1/torque"
TEST = "ML-1/electrical-test"
SLIPS = "BP-02/set-slips"
COLLAR = "BP-02/fit-dog-collar"
LINE_TEST = "DL-1/pressure-test-discharge-line"
FIRST_LIFT, PUMP_LEG = "first-lift-pump", "pump-leg-pump"


@pytest.fixture
def desk() -> Desk:
    return Desk()


def test_a_sheet_without_changes_is_the_compiled_one(desk: Desk) -> None:
    assert desk.sheet is desk.compiled
    assert desk.sheet.changes == ()


def test_a_dropped_step_is_gone_and_what_follows_moves_up(desk: Desk) -> None:
    before = desk.step(COLLAR).number

    desk.change(DropStep(SLIPS))

    assert SLIPS not in keys(desk.sheet)
    assert desk.step(COLLAR).number == before - 1
    assert desk.sheet.stages[-1].last == len(desk.compiled.steps) - 1


def test_a_dropped_and_restored_step_leaves_the_compiled_sheet(desk: Desk) -> None:
    number = desk.change(DropStep(SLIPS)).number

    desk.take_back(number)

    assert desk.sheet == desk.compiled
    assert desk.edited.not_applied == ()


def test_a_step_goes_behind_the_step_that_is_named(desk: Desk) -> None:
    desk.change(MoveStep(TEST, Place(after=LINE_TEST)))

    order = keys(desk.sheet)
    assert order[order.index(LINE_TEST) + 1] == TEST
    assert desk.step(TEST).stage == desk.step(LINE_TEST).stage
    assert desk.step(TEST).operation is Operation.TEST_CABLES


def test_a_step_goes_first_in_its_stage_and_the_hold_point_stays_before_it(desk: Desk) -> None:
    stage = desk.compiled.stage(PUMP_LEG)

    desk.change(own(Place(start_of=PUMP_LEG)))

    first = desk.sheet.step(stage.first)
    assert first is not None
    assert (first.text, first.stage) == (OWN, PUMP_LEG)
    assert desk.sheet.stage(PUMP_LEG).hold_point == stage.hold_point
    assert desk.sheet.stage(PUMP_LEG).first == stage.first


def test_a_step_behind_the_last_of_a_stage_belongs_to_that_stage(desk: Desk) -> None:
    last = desk.compiled.steps_of(FIRST_LIFT)[-1]

    desk.change(own(Place(after=last.key)))

    assert desk.sheet.steps_of(FIRST_LIFT)[-1].text == OWN
    assert desk.sheet.stage(PUMP_LEG).first == desk.compiled.stage(PUMP_LEG).first + 1


def test_an_own_step_is_for_its_role_reads_as_typed_and_changes_nothing_of_the_string(desk: Desk) -> None:
    desk.change(own(Place(after=SLIPS), text="  Count\tthe {tools},\n twice  "))

    step = desk.step("own-step/1")
    assert (step.text, step.role, step.operation) == (
        "Count the {tools}, twice",
        "driller",
        Operation.OWN_STEP,
    )
    assert step.source == "change 1 before the release"
    assert desk.breaches() == ()


def test_an_own_step_on_deck_is_due_when_the_step_before_it_is(desk: Desk) -> None:
    desk.change(own(Place(after="check-gear/2")))
    desk.change(own(Place(start_of="deck-work")))

    assert needed_by(desk.sheet, "own-step/1") == needed_by(desk.sheet, "check-gear/2") == [RIG]
    assert needed_by(desk.sheet, "own-step/2") == [RIG]
    assert desk.step("own-step/1").lane is Lane.DECK


def test_an_electrical_test_is_made_once_more_elsewhere(desk: Desk) -> None:
    desk.change(RepeatStep("", TEST, Place(after=LINE_TEST)))

    copy, first = desk.step("repeat/1"), desk.step(TEST)
    assert replace(copy, number=first.number, key=TEST, stage=first.stage) == first
    assert copy.number == desk.step(LINE_TEST).number + 1
    assert desk.breaches() == ()


@pytest.mark.parametrize("key", ["BP-02/BP-01/torque", NUBBIN, "MTR-1/inspect-and-measure-part"])
def test_what_happens_once_is_not_repeated(desk: Desk, key: str) -> None:
    with pytest.raises(EditError, match=r"happens once\. Repeat a check, a test or a measurement"):
        desk.change(RepeatStep("", key, Place(after=key)))


def test_a_reworded_step_does_what_it_did(desk: Desk) -> None:
    before = desk.step(SLIPS)

    desk.change(RewordStep(SLIPS, "Set the slips on BP-02, with the new inserts."))

    assert desk.step(SLIPS) == replace(before, text="Set the slips on BP-02, with the new inserts.")
    assert desk.breaches() == ()


def test_deck_work_of_a_dropped_floor_step_is_due_at_the_next_one(desk: Desk) -> None:
    due = desk.step(NUBBIN).needs

    desk.change(DropStep(NUBBIN))

    assert set(due) <= set(desk.step(PICK_UP).needs)


def test_deck_work_of_the_last_floor_step_falls_back_to_the_one_before_it() -> None:
    sheet = _handmade((("deck", Lane.DECK, "ab"), ("floor", Lane.FLOOR, "xy")), needs={"y": ("a",)})
    bench = Bench(sheet)

    bench.drop("y")

    assert needed_by(bench.finish(), "a") == ["x"]


def test_deck_work_is_due_no_later_when_its_floor_step_moves_down(desk: Desk) -> None:
    due = desk.step(NUBBIN).needs

    desk.change(MoveStep(NUBBIN, Place(after=PICK_UP)))

    assert set(due) <= set(desk.step(PICK_UP).needs)
    assert desk.step(NUBBIN).needs == ()


def test_deck_work_is_due_earlier_when_its_floor_step_moves_up(desk: Desk) -> None:
    due = desk.step(PICK_UP).needs

    desk.change(MoveStep(PICK_UP, Place(after=RIG)))

    assert desk.step(PICK_UP).needs == due
    assert desk.step(PICK_UP).number == desk.step(RIG).number + 1


def test_a_dropped_deck_step_is_needed_by_nobody(desk: Desk) -> None:
    desk.change(DropStep("check-gear/2"))

    assert len(desk.step(RIG).needs) == len(desk.compiled.steps[desk.step(RIG).number].needs) - 1


def test_deck_steps_change_places_among_themselves(desk: Desk) -> None:
    desk.change(MoveStep("check-gear", Place(after="P-001/P-008/drift-and-measure-row")))

    assert desk.step("check-gear").number == desk.compiled.stage("deck-work").last
    assert needed_by(desk.sheet, "check-gear") == [RIG]


@pytest.mark.parametrize(
    ("key", "place"),
    [
        ("check-gear", Place(after=SLIPS)),
        (SLIPS, Place(after="check-gear")),
        (SLIPS, Place(start_of="deck-work")),
    ],
)
def test_deck_work_stays_on_deck_and_floor_work_on_the_floor(desk: Desk, key: str, place: Place) -> None:
    with pytest.raises(EditError, match=r"Choose a place among the (deck|floor) work"):
        desk.change(MoveStep(key, place))
    with pytest.raises(EditError, match=r"(Choose a place|happens once)"):
        desk.change(RepeatStep("", key, place))


def test_a_step_is_not_moved_to_the_wrong_side_of_deck_work() -> None:
    sheet = _handmade(
        (("early", Lane.FLOOR, "wx"), ("deck", Lane.DECK, "ab"), ("floor", Lane.FLOOR, "yz")),
        needs={"y": ("a",)},
    )
    bench = Bench(sheet)

    with pytest.raises(CannotApplyError, match="wrong side of deck work"):
        bench.move("y", Place(after="w"))

    assert bench.finish() == sheet


@pytest.mark.parametrize("act", [DropStep("x"), MoveStep("x", Place(after="y"))])
def test_the_last_step_of_a_stage_stays_and_its_hold_point_with_it(act: DropStep | MoveStep) -> None:
    sheet = _handmade((("one", Lane.FLOOR, "x"), ("two", Lane.FLOOR, "yz")))
    desk = Desk(compiled=sheet)

    with pytest.raises(EditError, match="only step of the stage 'one', so it cannot be"):
        desk.change(act)

    assert desk.sheet == sheet


def test_a_held_stage_of_one_step_names_its_hold_point(desk: Desk) -> None:
    held = desk.compiled.stage(PUMP_LEG)
    steps = desk.compiled.steps[: held.first]
    stages = (*desk.compiled.stages[:2], replace(held, last=held.first))

    with pytest.raises(EditError, match=r"and its hold point '.+', so it cannot be left out"):
        Desk(compiled=Sheet(stages, steps)).change(DropStep(steps[-1].key))


@pytest.mark.parametrize(
    ("act", "words"),
    [
        (DropStep("nothing"), "The sheet has no step 'nothing'. Choose one of its steps."),
        (MoveStep(SLIPS, Place(after="nothing")), "The sheet has no step 'nothing'."),
        (MoveStep(SLIPS, Place(after=SLIPS)), "cannot stand behind itself"),
        (MoveStep(SLIPS, Place(start_of="nowhere")), "The sheet has no stage 'nowhere'."),
        (MoveStep(SLIPS, Place()), "Name the one or the other."),
        (MoveStep(SLIPS, Place(COLLAR, PUMP_LEG)), "Name the one or the other."),
        (RepeatStep("", "nothing", Place(after=SLIPS)), "The sheet has no step 'nothing'."),
    ],
)
def test_a_change_that_does_not_fit_is_refused_with_its_mend(
    desk: Desk, act: DropStep | MoveStep | RepeatStep, words: str
) -> None:
    with pytest.raises(EditError) as refusal:
        desk.change(act)

    assert words in str(refusal.value)
    assert desk.history == []


def test_a_key_is_never_given_twice(desk: Desk) -> None:
    desk.change(own(Place(after=SLIPS)))
    desk.take_back(1)
    desk.change(own(Place(after=SLIPS), text="Another one."))
    desk.change(RepeatStep("", TEST, Place(after=TEST)))

    added = [key for key in keys(desk.sheet) if key.startswith(("own-step", "repeat"))]
    assert sorted(added) == ["own-step/3", "repeat/4"]


def test_the_sheet_carries_what_was_changed_by_whom_when_and_why(desk: Desk) -> None:
    desk.change(DropStep(SLIPS), why="other slips")
    desk.change(RewordStep(COLLAR, "No collar needed?"))
    desk.change(MoveStep(TEST, Place(start_of=PUMP_LEG)))
    desk.change(own(Place(after=TEST)))
    desk.change(RepeatStep("", TEST, Place(after=LINE_TEST)))

    changes = desk.sheet.changes
    assert [(item.number, item.kind, item.step) for item in changes] == [
        (1, ChangeKind.LEFT_OUT, 0),
        (2, ChangeKind.REWORDED, desk.step(COLLAR).number),
        (3, ChangeKind.MOVED, desk.step(TEST).number),
        (4, ChangeKind.ADDED, desk.step("own-step/4").number),
        (5, ChangeKind.REPEATED, desk.step("repeat/5").number),
    ]
    assert (changes[0].why, changes[0].by.name, changes[0].at) == (
        "other slips",
        "Sam Sample",
        AT.isoformat(),
    )
    assert "now reads 'No collar needed?'" in changes[1].what
    assert "Moved to the start of 'Pump system: pump leg'" in changes[2].what
    assert f"for the driller: '{OWN}'" in changes[3].what


def _handmade(
    stages: tuple[tuple[str, Lane, str], ...], needs: dict[str, tuple[str, ...]] | None = None
) -> Sheet:
    """Return a sheet of stages with steps of one letter."""
    letters = "".join(keys for _, _, keys in stages)
    numbers = {key: number for number, key in enumerate(letters, start=1)}
    steps = tuple(
        Step(
            numbers[key],
            key,
            name,
            lane,
            Operation.OWN_STEP,
            "",
            (),
            f"Do {key}.",
            (),
            (),
            "driller",
            "by hand",
            tuple(numbers[deck] for deck in (needs or {}).get(key, ())),
        )
        for name, lane, keys in stages
        for key in keys
    )
    return Sheet(
        tuple(
            Stage(name, StageKind.RUNNING, "", name, None, numbers[keys[0]], numbers[keys[-1]])
            for name, _, keys in stages
        ),
        steps,
    )
