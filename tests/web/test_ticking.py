"""Ticking a step from its page: once, in order, by somebody, with what it asks for."""

import pytest

from app.domain.sheet import Lane, ReadingKind, Step
from app.services.runs import new_key
from tests.web.conftest import Rig, Tablet
from tests.web.html_page import form_to, read_page


def test_a_tick_is_recorded_and_the_page_of_the_run_shows_it(rig: Rig, tablet: Tablet) -> None:
    answer = tablet.send(f"{rig.home}/steps/1", f"{rig.home}/steps/1/done")

    assert answer.status_code == 303
    assert answer.headers["location"] == f"{rig.home}/steps/2"
    assert rig.run.done[1].who == rig.crew["supervisor"]


def test_the_last_deck_step_leads_back_to_the_run(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()
    last = max(step.number for step in rig.run.sheet.lane(Lane.DECK))
    path = f"{rig.home}/steps/{last}"
    tablet.send(path, f"{path}/undo", {"reason": "counted again"})

    answer = tablet.post(f"{path}/done", rig.good_values(last) | {"back": "deck"})

    assert answer.headers["location"] == rig.home
    assert rig.run.is_done(last)


def test_a_tick_sent_by_htmx_gets_the_part_that_changed_alone(rig: Rig, tablet: Tablet) -> None:
    answer = tablet.send(f"{rig.home}/steps/1", f"{rig.home}/steps/1/done", htmx=True)

    assert answer.status_code == 200
    assert answer.headers["hx-push-url"] == f"{rig.home}/steps/2"
    part = read_page(answer.text)
    assert [element.attributes["id"] for element in part.children] == ["page"]
    assert part.one("form", action=f"{rig.home}/steps/2/done")
    assert part.all("a", href=f"/sign-in?next={rig.home}/steps/2")


def test_exactly_one_step_dominates_the_page_of_the_run(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()
    rig.do_floor_until(50)

    page = tablet.page(rig.home)

    assert page.one("h1").text() == rig.run.sheet.steps[49].text
    recorded = {form.attributes["action"] for form in page.all("form")} - {"/display"}
    assert recorded == {f"{rig.home}/steps/50/done"}
    assert page.one("button", id="done").attributes["form"] == "tick"
    beside = page.one("aside").text()
    assert "Step 49" in beside
    assert "Step 51" in beside


def test_cautions_stand_before_the_step_that_they_guard(rig: Rig, tablet: Tablet) -> None:
    step = next(step for step in rig.run.sheet.steps if step.cautions)

    text = tablet.get(f"{rig.home}/steps/{step.number}").text

    assert text.index("Cautions before this step") < text.index('id="now-title"')


def test_nobody_can_tick_and_the_sentence_says_so(rig: Rig) -> None:
    answer = rig.tablet.post(f"{rig.home}/steps/1/done", {"back": "deck"})

    assert answer.status_code == 401
    assert "Nobody is signed in" in answer.text
    assert read_page(answer.text).all("a", href="/sign-in?next=/")
    assert not rig.run.done


def test_a_form_without_its_key_is_refused_in_words(rig: Rig, tablet: Tablet) -> None:
    answer = tablet.post(f"{rig.home}/steps/1/done", key="")

    assert answer.status_code == 422
    assert "without its key" in answer.text
    assert not rig.run.done


def test_the_same_form_twice_ticks_once_and_is_answered_alike(rig: Rig, tablet: Tablet) -> None:
    key = new_key()

    first = tablet.post(f"{rig.home}/steps/1/done", key=key)
    again = tablet.post(f"{rig.home}/steps/1/done", key=key)

    assert (first.status_code, again.status_code) == (303, 303)
    assert rig.run.sequence == 2


def test_a_key_that_comes_with_another_step_is_refused(rig: Rig, tablet: Tablet) -> None:
    key = new_key()
    tablet.post(f"{rig.home}/steps/1/done", key=key)

    answer = tablet.post(f"{rig.home}/steps/2/done", key=key)

    assert answer.status_code == 422
    assert "already answered" in answer.text


def test_a_stale_tick_says_who_was_quicker_and_what_had_been_typed(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()
    number = _first_with(rig, ReadingKind.TORQUE).number
    rig.do_floor_until(number)
    values = rig.good_values(number) | {"back": "run"}
    tablet.post(f"{rig.home}/steps/{number}/done", values)

    late = tablet.post(f"{rig.home}/steps/{number}/done", values | {"value-0": "501"})

    assert late.status_code == 409
    assert f"Step {number} is done already, by Test Supervisor" in late.text
    assert "You had typed: 501." in read_page(late.text).text()
    assert rig.run.done[number].readings[0].value != "501"


def test_a_step_ahead_of_its_turn_is_refused(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()
    rig.do_floor_until(50)

    answer = tablet.post(f"{rig.home}/steps/52/done")

    assert answer.status_code == 409
    assert "step 50 comes first" in answer.text


def test_the_wrong_role_is_told_before_and_refused_after(rig: Rig) -> None:
    rig.tablet.sign_in("floor crew")
    step = next(step for step in rig.run.sheet.steps if step.role == "pump technician")

    page = rig.tablet.page(f"{rig.home}/steps/{step.number}")
    answer = rig.tablet.post(f"{rig.home}/steps/{step.number}/done", rig.good_values(step.number))

    assert "This step is for the pump technician or the supervisor" in page.text()
    assert answer.status_code == 403
    assert not rig.run.done


def test_a_step_with_a_reading_cannot_be_closed_by_a_bare_tick(rig: Rig, tablet: Tablet) -> None:
    number = _first_with(rig, ReadingKind.LENGTH).number

    answer = tablet.send(f"{rig.home}/steps/{number}", f"{rig.home}/steps/{number}/done")

    assert answer.status_code == 422
    assert "is missing: enter it to close the step" in answer.text
    assert not rig.run.done


def test_a_torque_outside_its_window_is_shown_and_does_not_close_the_step(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()
    number = _first_with(rig, ReadingKind.TORQUE, "ft*lbf").number
    rig.do_floor_until(number)
    values = rig.good_values(number) | {"back": "run", "confirmed-0": "yes"}

    answer = tablet.post(f"{rig.home}/steps/{number}/done", values | {"value-0": "1"}, htmx=True)

    page = read_page(answer.text)
    assert answer.status_code == 200
    assert "Attempt 1 is outside" in page.text()
    assert "There are two ways out" in page.text()
    assert not rig.run.is_done(number)
    assert form_to(page, f"{rig.home}/steps/{number}/done").values["value-0"] == ""


def test_a_number_ten_times_off_is_asked_about_and_kept(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()
    step = _first_with(rig, ReadingKind.TORQUE, "ft*lbf")
    rig.do_floor_until(step.number)
    values = rig.good_values(step.number)
    slipped = str(float(values["value-0"]) * 10)

    answer = tablet.post(f"{rig.home}/steps/{step.number}/done", values | {"value-0": slipped})

    page = read_page(answer.text)
    assert answer.status_code == 422
    assert "is the decimal point in its place?" in page.text()
    assert page.one("input", id="value-0").attributes["value"] == slipped
    assert page.one("input", id="value-0").attributes["aria-invalid"] == "true"
    assert page.one("input", id="confirmed-0").attributes["type"] == "checkbox"
    assert not rig.run.attempts


def test_the_sentence_stands_beside_the_field_that_it_belongs_to(rig: Rig, tablet: Tablet) -> None:
    step = next(
        step
        for step in rig.run.sheet.steps
        if [reading.kind for reading in step.readings][:2] == [ReadingKind.SERIAL, ReadingKind.LENGTH]
    )
    values = rig.good_values(step.number) | {"value-0": "NOT-HERE-1"}

    answer = tablet.post(f"{rig.home}/steps/{step.number}/done", values)

    fields = read_page(answer.text).all("fieldset", class_="reading")
    assert answer.status_code == 422
    assert "NOT-HERE-1 is not on the load-out list" in fields[0].text()
    assert "load-out list" not in fields[1].text()
    page = read_page(answer.text)
    assert page.one("input", id="value-1").attributes["value"] == values["value-1"]


def test_a_reading_offers_only_units_of_its_kind_and_the_one_tool_is_chosen(rig: Rig, tablet: Tablet) -> None:
    number = _first_with(rig, ReadingKind.LENGTH).number
    step = rig.run.sheet.steps[number - 1]
    at = next(at for at, reading in enumerate(step.readings) if reading.kind is ReadingKind.LENGTH)

    page = tablet.page(f"{rig.home}/steps/{number}")

    units = [option.text() for option in page.one("select", id=f"unit-{at}").all("option")]
    assert units == ["m", "cm", "mm", "ft", "in"]
    assert form_to(page, f"{rig.home}/steps/{number}/done").values[f"tool-{at}"] == "T-TAPE"


def test_an_undo_needs_a_reason_and_shows_it_afterwards(rig: Rig, tablet: Tablet) -> None:
    tablet.post(f"{rig.home}/steps/1/done")
    path = f"{rig.home}/steps/1"

    bare = tablet.send(path, f"{path}/undo")
    answer = tablet.send(path, f"{path}/undo", {"reason": "ticked the wrong elevators"})

    assert bare.status_code == 422
    assert "Say why, in a few words" in bare.text
    assert answer.status_code == 303
    assert not rig.run.done
    page = tablet.page(path)
    assert "ticked the wrong elevators" in page.text()
    assert "reopened" in page.text()


def test_a_corrected_reading_keeps_the_old_one_legible(rig: Rig, tablet: Tablet) -> None:
    step = _first_with(rig, ReadingKind.LENGTH)
    at = next(at for at, reading in enumerate(step.readings) if reading.kind is ReadingKind.LENGTH)
    values = rig.good_values(step.number)
    tablet.post(f"{rig.home}/steps/{step.number}/done", values)
    path, action = f"{rig.home}/steps/{step.number}", f"{rig.home}/steps/{step.number}/correct/{at}"
    better = f"{float(values[f'value-{at}']) + 0.01:.2f}"

    unexplained = tablet.send(path, action, {f"value-{at}": better})
    answer = tablet.send(path, action, {f"value-{at}": better, "reason": "read the wrong mark"})

    assert unexplained.status_code == 422
    assert answer.status_code == 303
    page = tablet.page(path)
    assert page.one("span", class_="old").text().startswith(values[f"value-{at}"])
    assert better in page.text()
    assert "read the wrong mark" in page.text()


def test_deck_work_that_a_step_needs_is_named_with_a_way_to_it(rig: Rig, tablet: Tablet) -> None:
    step = next(step for step in rig.run.sheet.steps if step.needs)

    page = tablet.page(f"{rig.home}/steps/{step.number}")

    assert "This step needs deck work that is open" in page.text()
    assert page.all("a", href=f"{rig.home}/steps/{step.needs[0]}")


@pytest.mark.parametrize("number", ["0", "9999", "one"])
def test_a_step_that_the_sheet_has_not_is_not_found(rig: Rig, tablet: Tablet, number: str) -> None:
    answer = tablet.get(f"{rig.home}/steps/{number}")

    assert answer.status_code == 404
    assert read_page(answer.text).one("h1").text() == "This was not possible"


def _first_with(rig: Rig, kind: ReadingKind, unit: str = "") -> Step:
    return next(
        step
        for step in rig.run.sheet.steps
        if any(reading.kind is kind and unit in ("", reading.unit) for reading in step.readings)
        and (kind is not ReadingKind.TORQUE or step.lane.value == "floor")
    )


def test_the_page_of_a_later_step_leads_to_the_one_that_comes_first(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()
    rig.do_floor_until(rig.run.floor_next + 2)
    now = rig.run.floor_next

    page = tablet.page(f"{rig.home}/steps/{now + 1}")

    assert page.one("a", class_="button main-act hold").text() == f"Step {now} comes first"
    assert page.one("a", class_="button main-act hold").attributes["href"] == rig.home
    assert not page.all("button", id="done")
    assert "written from system 1, " in page.text()


def test_the_end_of_a_stage_is_called_out_in_numbers(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()
    stage = next(stage for stage in rig.run.sheet.stages if stage.title == "Pump system: bypass leg")
    rig.do_floor_until(stage.last)
    before = tablet.page(rig.home).text()

    rig.do_floor_until(stage.last + 1)

    assert "Stage complete" not in before
    steps = stage.last - stage.first + 1
    called = f"Stage complete: {stage.title}. {steps} of {steps} steps done, 0 deviations."
    assert called in tablet.page(rig.home).text()
