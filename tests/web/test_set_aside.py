"""Steps set aside on their pages: said not to apply, put off, and seen wherever they stand."""

import asyncio
import re
from dataclasses import replace

import pytest

from app.bundled import resource_folder
from app.domain.commands import BeginHold
from app.domain.events.holds import Cause
from app.domain.sheet import Lane
from app.services.rewriting import DEFER_MEANING, FORWARD_MEANING, places_for
from app.services.runs import act, new_key
from tests import runner
from tests.services.own_sheet import CAMERA, WEATHER, number_of, released_with_own_steps
from tests.web.conftest import Rig, Tablet

STATES = {
    "to-do": "to do",
    "current": "in progress",
    "done": "done",
    "not-applicable": "not applicable",
    "deferred": "deferred",
    "reopened": "reopened",
}
PIN = runner.PINS["Test Supervisor"]


@pytest.fixture
def own(rig: Rig, tablet: Tablet) -> Rig:
    """Return a run at its own step about the weather, for which the supervisor's tablet stands ready."""
    run_id = asyncio.run(released_with_own_steps(rig.site, rig.crew["supervisor"]))
    own = replace(rig, run_id=run_id)
    own.tablet = tablet
    own.do_deck_work()
    own.do_floor_until(number_of(own.run, WEATHER))
    return own


def left_out(own: Rig, tablet: Tablet, text: str = WEATHER, reason: str = "no crane here") -> int:
    number = number_of(own.run, text)
    page = f"{own.home}/steps/{number}"
    sent = tablet.send(page, f"{page}/not-applicable", {"reason": reason})
    assert sent.status_code == 303, sent.text
    return number


def put_off(own: Rig, tablet: Tablet, text: str = WEATHER) -> tuple[int, int]:
    """Put a step off until before the last one that it may be, and return both numbers as they were."""
    number = number_of(own.run, text)
    until = places_for(own.run, number).until[-1].number
    path = f"{own.home}/steps/{number}/defer/{until}"
    sent = tablet.send(path, path, {"reason": "fog until noon", "pin": PIN})
    assert sent.status_code == 303, sent.text
    return number, until


def test_a_step_that_does_not_apply_is_passed_and_says_why(own: Rig, tablet: Tablet) -> None:
    number = left_out(own, tablet)

    page = tablet.page(f"{own.home}/steps/{number}").text()

    assert own.run.floor_next == number + 1
    assert "not applicable" in page
    assert "no crane here" in page
    assert "Done step" not in page
    assert f"Step {number} does not apply, because: no crane here" in tablet.page(f"{own.home}/log").text()


def test_a_step_that_a_law_needs_comes_back_with_the_law_and_with_what_was_typed(
    own: Rig, tablet: Tablet
) -> None:
    number = own.run.floor_next + 1
    page = f"{own.home}/steps/{number}"

    sent = tablet.send(page, f"{page}/not-applicable", {"reason": "no time"})

    assert sent.status_code == 409
    assert f"Step {number} cannot be left undone" in sent.text
    assert "To mend it" in sent.text
    assert 'value="no time"' in sent.text
    assert own.run.not_applicable == {}


def test_a_step_that_applies_after_all_is_open_again(own: Rig, tablet: Tablet) -> None:
    number = left_out(own, tablet)
    page = f"{own.home}/steps/{number}"

    sent = tablet.send(page, f"{page}/applicable", {"reason": "a crane came"})

    assert sent.status_code == 303
    assert own.run.floor_next == number
    shown = tablet.page(page).text()
    assert "Said not to apply by Test Supervisor" in shown
    assert "Opened again by Test Supervisor" in shown


def test_a_step_is_put_off_until_a_place_that_was_proven(own: Rig, tablet: Tablet) -> None:
    number, until = put_off(own, tablet)

    run = own.run
    assert run.sheet.steps[until - 2].text == WEATHER
    assert run.is_deferred(until - 1)
    page = tablet.page(f"{own.home}/steps/{until - 1}").text()
    assert f"Deferred until before step {until}" in page
    assert "fog until noon" in page
    log = tablet.page(f"{own.home}/log").text()
    assert f"Step {number} deferred until before step {until}, because: fog until noon" in log


def test_a_step_is_brought_forward_again_and_signed_for(own: Rig, tablet: Tablet) -> None:
    number, until = put_off(own, tablet)
    late = until - 1
    offered = tablet.page(f"{own.home}/steps/{late}").all("a", href=f"{own.home}/steps/{late}/bring-forward")
    path = f"{own.home}/steps/{late}/bring-forward"
    shown = tablet.page(path).text()

    no_reason = tablet.send(path, path, {"reason": "", "pin": PIN})
    sent = tablet.send(path, path, {"reason": "the fog is gone", "pin": PIN})

    assert offered
    assert f"Bring step {late} forward to before step {number}" in shown
    assert FORWARD_MEANING in shown
    assert (no_reason.status_code, sent.status_code) == (422, 303)
    assert own.run.sheet.steps[number - 1].text == WEATHER
    assert own.run.floor_next == number
    log = tablet.page(f"{own.home}/log").text()
    assert f"Step {late} brought forward to before step {number}, because: the fog is gone" in log
    page = tablet.page(f"{own.home}/steps/{number}").text()
    assert "Deferred by Test Supervisor" in page
    assert "Brought forward by Test Supervisor" in page
    assert "Bring it forward again" not in page
    assert tablet.get(path).status_code == 409


def test_what_is_signed_for_is_shown_first(own: Rig, tablet: Tablet) -> None:
    number = own.run.floor_next
    shown = tablet.page(f"{own.home}/steps/{number}/defer/{number + 2}").text()

    assert DEFER_MEANING in shown
    assert "The floor then goes on so" in shown


def test_a_deferral_with_a_wrong_pin_or_no_reason_changes_nothing(own: Rig, tablet: Tablet) -> None:
    number = own.run.floor_next
    path = f"{own.home}/steps/{number}/defer/{number + 2}"

    no_reason = tablet.send(path, path, {"reason": "", "pin": PIN})
    wrong = tablet.send(path, path, {"reason": "fog", "pin": "000000"})

    assert (no_reason.status_code, wrong.status_code) == (422, 401)
    assert own.run.deferred == {}


def test_the_page_of_places_says_what_stops_it_further_on(own: Rig, tablet: Tablet) -> None:
    number = number_of(own.run, WEATHER) + 1  # the legs are lowered together

    page = tablet.page(f"{own.home}/steps/{number}/defer").text()

    assert f"Not until before step {number + 2}" in page
    assert "To mend it" in page


def test_deck_work_is_not_put_off(rig: Rig, tablet: Tablet) -> None:
    page = tablet.get(f"{rig.home}/steps/1/defer")

    assert page.status_code == 409
    assert "any order before the floor needs it" in page.text


def test_a_deferred_step_is_told_on_hold_and_at_the_next_hold_point(own: Rig, tablet: Tablet) -> None:
    left_out(own, tablet, CAMERA, "no camera")
    _, until = put_off(own, tablet)
    stages = own.run.sheet.stages
    at = next(place for place, stage in enumerate(stages) if stage.id == own.run.sheet.steps[until - 2].stage)
    after = next(stage for stage in stages[at + 1 :] if stage.hold_point is not None)

    tablet.do(act(own.site, own.run_id, BeginHold(Cause.WEATHER), own.crew["supervisor"], new_key()))

    paths = (f"{own.home}/hold", f"{own.home}/handover", f"{own.home}/hold-points/{after.id}")
    pages = [tablet.page(path).text() for path in paths]

    assert all(f"Step {until - 1} is deferred until before step {until}" in page for page in pages)
    assert "does not apply" in pages[2]
    assert "no camera" in pages[2]


def test_the_end_of_a_stage_says_what_was_done_and_what_did_not_apply(own: Rig, tablet: Tablet) -> None:
    left_out(own, tablet)
    run = own.run
    stage = run.sheet.stage(run.sheet.steps[run.floor_next - 1].stage)
    behind = next(step.number for step in run.sheet.lane(Lane.FLOOR) if step.number > stage.last)

    while own.run.floor_next < behind:
        step = own.run.sheet.steps[own.run.floor_next - 1]
        asyncio.run(runner.finish(own.site, own.run_id, step, own.crew))

    total = stage.last - stage.first + 1
    said = f"{total - 1} of {total} steps done, 1 not applicable, 0 deviations."
    assert said in tablet.page(own.home).text()
    assert f"{total - 1} of {total} done, 1 not applicable" in tablet.page(f"{own.home}/sheet").text()


def test_only_the_supervisor_is_offered_to_set_a_step_aside(own: Rig, tablet: Tablet) -> None:
    number = own.run.floor_next
    page = f"{own.home}/steps/{number}"
    offered = "Set it aside" in tablet.page(page).text()
    tablet.sign_in("driller")

    sent = tablet.post(f"{page}/not-applicable", {"reason": "no crane"})

    assert offered
    assert "Set it aside" not in tablet.page(page).text()
    assert sent.status_code == 403
    assert own.run.not_applicable == {}


def test_each_state_has_its_words_its_mark_and_its_class_on_the_sheet(own: Rig, tablet: Tablet) -> None:
    left_out(own, tablet, CAMERA, "no camera")
    put_off(own, tablet)
    before = own.run.floor_next - 1
    page = f"{own.home}/steps/{before}"
    sheet = tablet.get(f"{own.home}/sheet").text
    tablet.send(page, f"{page}/undo", {"reason": "slip"})
    sheet += tablet.get(f"{own.home}/sheet").text
    marks = (resource_folder("static") / "marks.svg").read_text()

    for state, words in STATES.items():
        said = re.search(
            rf'class="state state-{state}"><svg[^>]*>.*?#([a-z-]+)".*?</svg>{words}</span>', sheet
        )
        assert said is not None, state
        assert f'id="{said[1]}"' in marks, state
        assert f"row-{state}" in sheet
