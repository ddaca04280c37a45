"""Who may change a sheet, in which words, and how a change is taken back or taken over."""

from dataclasses import replace

import pytest

from app.domain.edits.deciding import LONGEST_STEP_TEXT, LONGEST_WHY, EditError, decide_take_over, may_edit
from app.domain.edits.kinds import (
    AddStep,
    Change,
    DropStep,
    Edit,
    MoveStep,
    Place,
    RewordStep,
    TakeOver,
    standing,
)
from app.domain.events.who import Who
from app.domain.refusals import NobodyError, ReasonMissingError, RightsError
from tests.domain.edits.desk import AT, SUPERVISOR, Desk, own

SLIPS, COLLAR, TEST = "BP-02/set-slips", "BP-02/fit-dog-collar", "ML-1/electrical-test"
DRILLER = Who("p-dri", "Dora Dummy", "driller")
SOURCE = TakeOver("plan-1", "the older plan")


@pytest.fixture
def desk() -> Desk:
    return Desk()


def over(history: list[Edit], others: list[Edit], who: Who | None = SUPERVISOR) -> tuple[Edit, ...]:
    return decide_take_over(history, SOURCE, others, why="the plan was mended", who=who, now=AT)


@pytest.mark.parametrize("who", [DRILLER, Who("p-x", "Xaver Example", "")])
def test_only_who_may_release_a_sheet_may_change_it(desk: Desk, who: Who) -> None:
    with pytest.raises(RightsError, match="may not change a sheet before its release"):
        desk.change(DropStep(SLIPS), who=who)
    with pytest.raises(RightsError):
        over([], desk.history, who)

    assert not may_edit(who)
    assert may_edit(SUPERVISOR)


def test_nobody_changes_a_sheet(desk: Desk) -> None:
    with pytest.raises(NobodyError, match="Nobody is signed in"):
        desk.change(DropStep(SLIPS), who=None)

    assert not may_edit(None)


@pytest.mark.parametrize("why", ["", "  \n "])
def test_a_change_without_a_reason_is_refused(desk: Desk, why: str) -> None:
    with pytest.raises(ReasonMissingError, match="Say why"):
        desk.change(DropStep(SLIPS), why=why)
    desk.change(DropStep(SLIPS))
    with pytest.raises(ReasonMissingError, match="before you take a change back"):
        desk.take_back(1, why=why)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (" \t\n ", "Write the text of the step, in plain words."),
        ("x" * (LONGEST_STEP_TEXT + 1), "300 are the most. Shorten it."),
        ("Lower\x00 it.", "holds a character that does not print"),
        ("Lower \x1b[31mit.", "holds a character that does not print"),
        ("Lower \u202eit.", "holds a character that does not print"),
        ("Lower \ud800it.", "holds a character that does not print"),
    ],
)
def test_words_that_cannot_stand_on_a_sheet_are_refused(desk: Desk, text: str, words: str) -> None:
    for act in (RewordStep(SLIPS, text), own(Place(after=SLIPS), text)):
        with pytest.raises(EditError, match=words.replace(".", r"\.")):
            desk.change(act)


def test_a_reason_is_a_short_plain_text_too(desk: Desk) -> None:
    with pytest.raises(EditError, match="The reason has 301 letters; 300 are the most"):
        desk.change(DropStep(SLIPS), why="x" * (LONGEST_WHY + 1))
    with pytest.raises(EditError, match="The reason holds a character that does not print"):
        desk.change(DropStep(SLIPS), why="be\u0007cause")

    assert desk.change(DropStep(SLIPS), why="  two\n lines ").why == "two lines"


@pytest.mark.parametrize(
    "text", ["اسلیپ‌ها را بگذارید.", "Keile setzen: 2⅞″ – „Größe“ prüfen.", "x" * LONGEST_STEP_TEXT]
)
def test_any_script_is_taken_as_typed(desk: Desk, text: str) -> None:
    desk.change(RewordStep(SLIPS, text))

    assert desk.step(SLIPS).text == text


def test_an_own_step_is_for_a_role_that_the_plan_knows(desk: Desk) -> None:
    with pytest.raises(EditError, match=r"There is no role 'cook'\. Choose one: supervisor, "):
        desk.change(own(Place(after=SLIPS), role="cook"))

    desk.plan = replace(desk.plan, extra_roles=("cook",))
    desk.change(own(Place(after=SLIPS), role="cook"))
    assert desk.step("own-step/1").role == "cook"


@pytest.mark.parametrize(
    "act",
    [
        MoveStep(SLIPS, Place(after="BP-02/SS-1/lower-bypass-leg")),
        MoveStep("LG-EL-287/LG-SL-287/rig-for-size", Place(start_of="first-lift-pump")),
        RewordStep(SLIPS, "Set the slips on BP-02; slack off slowly until they hold."),
    ],
)
def test_a_change_of_nothing_is_refused(desk: Desk, act: Change) -> None:
    with pytest.raises(EditError, match="This changes nothing"):
        desk.change(act)


def test_a_change_is_taken_back_once(desk: Desk) -> None:
    desk.change(DropStep(SLIPS))
    desk.take_back(1)

    with pytest.raises(EditError, match=r"Change 1 was taken back already, by Sam Sample\. Make it anew"):
        desk.take_back(1)
    for number in (0, 2, 3):
        with pytest.raises(EditError, match=f"There is no change {number} of this sheet"):
            desk.take_back(number)


def test_the_change_that_rests_on_one_taken_back_is_reported(desk: Desk) -> None:
    desk.change(own(Place(after=SLIPS)))
    desk.change(RewordStep("own-step/1", "Watch the weather."))

    desk.take_back(1)

    (problem,) = desk.edited.not_applied
    assert problem.where == "change 2"
    assert "made because 'the site asks for it', no longer applies: The sheet has no step" in problem.text
    assert problem.text.endswith("Take it back, or make it anew on the sheet as it is.")


def test_a_counted_key_that_names_another_step_by_now_is_not_followed(desk: Desk) -> None:
    desk.change(DropStep("check-gear/2"))
    other = replace(
        desk.compiled,
        steps=tuple(
            replace(step, text="Check something else.") if step.key == "check-gear/2" else step
            for step in desk.compiled.steps
        ),
    )

    desk.compiled = other

    (problem,) = desk.edited.not_applied
    assert (
        "check-gear/2 was another step when the change named it; it is now 'Check something" in problem.text
    )
    assert desk.sheet.steps == other.steps


def test_the_changes_of_another_plan_are_taken_over_as_they_were_made(desk: Desk) -> None:
    desk.change(DropStep(SLIPS))
    desk.change(own(Place(after=COLLAR)))
    desk.take_back(1)

    taken = over([], desk.history)

    assert taken[:3] == tuple(desk.history)
    assert (taken[3].number, taken[3].act, taken[3].why) == (4, SOURCE, "the plan was mended")
    assert standing(taken) == standing(desk.history)


def test_changes_are_not_taken_over_onto_others_or_from_none(desk: Desk) -> None:
    desk.change(DropStep(SLIPS))

    with pytest.raises(EditError, match="This plan has changes of its own"):
        over(desk.history, desk.history)
    with pytest.raises(EditError, match="The plan 'the older plan' has no changes that count"):
        over([], [])


def test_what_a_change_has_seen_of_its_step_is_kept_with_it(desk: Desk) -> None:
    written = desk.step(SLIPS)

    act = desk.change(DropStep(SLIPS)).act

    assert isinstance(act, DropStep)
    assert (act.was.stage, act.was.text) == (written.stage, written.text)
    added = desk.change(own(Place(after=TEST))).act
    assert isinstance(added, AddStep)
    assert added.place.was.stage == "pump-leg-pump"
