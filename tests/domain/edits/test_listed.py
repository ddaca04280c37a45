"""The list of changes as people read it: what counts, what was taken back, what no longer applies."""

from app.domain.edits.kinds import DropStep, Edit, MoveStep, Place, RepeatStep, RewordStep, TakeOver
from app.domain.edits.listed import Listed, Standing, in_short, listed
from tests.domain.edits.desk import AT, OWN, SUPERVISOR, Desk, own

SLIPS, COLLAR, TEST = "BP-02/set-slips", "BP-02/fit-dog-collar", "ML-1/electrical-test"


def entries(desk: Desk) -> tuple[Listed, ...]:
    return listed(desk.history, desk.edited)


def test_a_change_that_counts_says_what_it_does_to_which_step() -> None:
    desk = Desk()
    desk.change(own(Place(after=SLIPS)))

    (entry,) = entries(desk)

    assert entry.standing is Standing.COUNTS
    assert OWN in entry.what
    assert (entry.kind, entry.step) == ("added", desk.step("own-step/1").number)
    assert entry.stage == desk.step("own-step/1").stage
    assert entry.remark == ""


def test_a_change_that_was_taken_back_says_by_whom_and_why_and_what_took_it_back_is_told() -> None:
    desk = Desk()
    number = desk.change(DropStep(SLIPS)).number
    text = next(step.text for step in desk.compiled.steps if step.key == SLIPS)
    desk.take_back(number, why="the driller wants it")

    dropped, back = entries(desk)

    assert (dropped.standing, dropped.what) == (Standing.TAKEN_BACK, f"Left out: '{text}'")
    assert dropped.remark == "Taken back by Sam Sample (supervisor), because 'the driller wants it'."
    assert (back.standing, back.what) == (Standing.TOLD, "Took change 1 back")


def test_a_change_to_a_step_that_the_plan_no_longer_has_says_why_it_does_not_apply() -> None:
    desk = Desk()
    desk.history.append(Edit(1, DropStep("PMP-9/set-slips"), SUPERVISOR, AT, "not on this rig"))

    (lost,) = entries(desk)

    assert lost.standing is Standing.LOST
    assert lost.remark == desk.edited.not_applied[0].text
    assert "PMP-9/set-slips" in lost.remark


def test_without_a_sheet_no_change_applies() -> None:
    desk = Desk()
    desk.change(MoveStep(TEST, Place(after=COLLAR)))

    (entry,) = listed(desk.history, None)

    assert (entry.standing, entry.remark) == (Standing.LOST, "")


def test_each_kind_of_change_is_told_without_a_sheet() -> None:
    desk = Desk()
    desk.change(RewordStep(SLIPS, "Set the slips slowly."))
    desk.change(RepeatStep("", TEST, Place(after=COLLAR)))
    desk.history.append(Edit(3, TakeOver("plan-1", "the first plan"), SUPERVISOR, AT, "same job"))
    texts = {step.key: step.text for step in desk.compiled.steps}

    assert [in_short(edit.act) for edit in desk.history] == [
        f"'{texts[SLIPS]}' now reads 'Set the slips slowly.'",
        f"Repeated: '{texts[TEST]}'",
        "Took the changes before this over from the plan 'the first plan'",
    ]
    assert in_short(own(Place(after=SLIPS))) == f"Added, for the driller: '{OWN}'"
