"""Two tablets on one run: a form from an older page comes back with what changed and what was typed."""

import pytest

from app.domain.commands import AddNote, FinishStep, UndoStep
from app.domain.sheet import Lane, ReadingKind
from app.services.runs import act, new_key
from tests.runner import good_readings
from tests.web.conftest import HTMX, Rig, Tablet, Values
from tests.web.html_page import Element, form_to, forms_of, read_page


def test_every_form_of_a_runs_page_carries_what_the_page_has_seen(rig: Rig, tablet: Tablet) -> None:
    stage = next(stage for stage in rig.run.sheet.stages if stage.hold_point)
    paths = ("", "/steps/1", f"/hold-points/{stage.id}", "/deviations", "/load-out", "/close-out")

    forms = [form for path in paths for form in forms_of(tablet.page(rig.home + path))]

    sent = [form for form in forms if form.action.startswith(rig.home)]
    assert len(sent) >= 8
    assert {form.values["seen"] for form in sent} == {str(rig.run.sequence)}


def test_a_page_without_a_run_has_seen_none(rig: Rig, tablet: Tablet) -> None:
    tablet.page(rig.home)

    assert all("seen" not in form.values for form in forms_of(tablet.page("/people")))


@pytest.mark.parametrize("htmx", [False, True])
def test_a_stale_tick_comes_back_with_what_changed_by_whom_and_what_was_typed(
    rig: Rig, tablet: Tablet, htmx: bool
) -> None:
    number, path = _torque(rig), f"{rig.home}/steps/{_torque(rig)}"
    form = form_to(tablet.page(path), f"{path}/done").values | rig.good_values(number) | {"value-0": "501"}
    _another(rig, AddNote(number, "the thread is dented"))

    late = tablet.ask("POST", f"{path}/done", form, HTMX if htmx else {})

    page = read_page(late.text)
    assert late.status_code == 409
    assert _changes(page) == [f"Note on step {number}: the thread is dented"]
    assert "Test Driller (driller)" in page.text()
    again = form_to(page, f"{path}/done").values
    assert again["value-0"] == "501"
    assert again["seen"] == str(rig.run.sequence)
    assert not rig.run.attempts


def test_the_form_that_came_back_is_sent_by_one_tap(rig: Rig, tablet: Tablet) -> None:
    number, path = _torque(rig), f"{rig.home}/steps/{_torque(rig)}"
    form = form_to(tablet.page(path), f"{path}/done").values | rig.good_values(number)
    _another(rig, AddNote(number, "the thread is dented"))
    refused = tablet.ask("POST", f"{path}/done", form)

    answer = tablet.ask("POST", f"{path}/done", form_to(read_page(refused.text), f"{path}/done").values)

    assert answer.status_code == 303
    assert rig.run.is_done(number)


def test_a_tick_that_others_have_done_says_so_and_keeps_what_was_typed(rig: Rig, tablet: Tablet) -> None:
    number = _torque(rig)
    path = f"{rig.home}/steps/{number}/done"
    form = form_to(tablet.page(rig.home), path).values | rig.good_values(number) | {"value-0": "501"}
    _another(rig, FinishStep(number, good_readings(rig.run, rig.run.sheet.steps[number - 1])))

    late = tablet.ask("POST", path, form, HTMX)

    page = read_page(late.text)
    assert late.status_code == 409
    assert f"Step {number} done." in _changes(page)[0]
    assert "You had typed: 501." in page.text()
    # No other step's button lies under the finger that tapped.
    assert not [form for form in forms_of(page) if form.action.endswith("/done")]


def test_a_tick_whose_step_is_no_longer_next_comes_back_on_the_page_of_the_step(
    rig: Rig, tablet: Tablet
) -> None:
    number = _torque(rig)
    path = f"{rig.home}/steps/{number}/done"
    form = form_to(tablet.page(rig.home), path).values | rig.good_values(number) | {"value-0": "501"}
    _another(rig, UndoStep(number - 1, "wrong elevators"), by="supervisor")

    late = tablet.ask("POST", path, form)

    assert late.status_code == 409
    assert "wrong elevators" in _changes(read_page(late.text))[0]
    assert form_to(read_page(late.text), path).values["value-0"] == "501"


def test_a_stale_undo_keeps_its_reason_in_its_open_form(rig: Rig, tablet: Tablet) -> None:
    path = f"{rig.home}/steps/1"
    tablet.post(f"{path}/done")
    form = form_to(tablet.page(path), f"{path}/undo").values | {"reason": "ticked by mistake"}
    _another(rig, AddNote(1, "it was right"))

    late = tablet.ask("POST", f"{path}/undo", form)

    page = read_page(late.text)
    assert late.status_code == 409
    assert "open" in page.one("details", id="undo").attributes
    assert form_to(page, f"{path}/undo").values["reason"] == "ticked by mistake"
    assert rig.run.is_done(1)


def test_a_note_and_the_tick_of_another_deck_step_go_through(rig: Rig, tablet: Tablet) -> None:
    deck = [step.number for step in rig.run.sheet.lane(Lane.DECK) if not step.readings][:2]
    note, tick = (f"{rig.home}/steps/{deck[0]}/{act}" for act in ("notes", "done"))
    page = tablet.page(f"{rig.home}/steps/{deck[0]}")
    _another(rig, FinishStep(deck[1]), by="supervisor")

    ticked = tablet.ask("POST", tick, form_to(page, tick).values)
    noted = tablet.ask("POST", note, form_to(page, note).values | {"text": "windy"})

    assert (ticked.status_code, noted.status_code) == (303, 303)


def test_a_talk_that_others_held_meanwhile_is_read_before_it_is_held_again(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()
    stage = next(stage for stage in rig.run.sheet.stages if stage.hold_point)
    assert stage.hold_point is not None
    path = f"{rig.home}/hold-points/{stage.id}"
    everybody = [person.person_id for person in rig.crew.values()]
    talk = form_to(tablet.page(path), f"{path}/talk").values
    said: Values = {**talk, "topic": list(stage.hold_point.topics), "there": everybody}

    first = tablet.ask("POST", f"{path}/talk", said)
    late = tablet.ask("POST", f"{path}/talk", {**said, "key": new_key()})

    page = read_page(late.text)
    assert (first.status_code, late.status_code) == (303, 409)
    assert _changes(page)[0].startswith(f"Talk before “{stage.title}”:")
    ticked = [box for box in page.all("input", name="topic") if "checked" in box.attributes]
    assert len(ticked) == len(stage.hold_point.topics)


def _torque(rig: Rig) -> int:
    """Return the first torque on the floor, with everything before it done."""
    floor = rig.run.sheet.lane(Lane.FLOOR)
    step = next(step for step in floor if any(item.kind is ReadingKind.TORQUE for item in step.readings))
    if not rig.run.done:
        rig.do_deck_work()
        rig.do_floor_until(step.number)
    return step.number


def _another(rig: Rig, command: AddNote | FinishStep | UndoStep, by: str = "driller") -> None:
    """Let somebody else do something in the meantime."""
    who = rig.crew["supervisor"] if isinstance(command, FinishStep) else rig.crew[by]
    rig.tablet.do(act(rig.site, rig.run_id, command, who, new_key()))


def _changes(page: Element) -> list[str]:
    """Return the words of each change that the page lists."""
    [listed] = [item for item in page.all("ol") if "changes" in item.attributes.get("class", "")]
    return [line.children[0].text() for line in listed.children]
