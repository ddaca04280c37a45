"""Work on hold on the pages: one tap and its cause, the card to go on from, and one step back."""

import pytest

from app.domain.events.holds import Cause, LookBack
from app.domain.run import RunState
from tests.web.conftest import Rig, Tablet
from tests.web.html_page import read_page

STEP = 60


@pytest.fixture
def working(rig: Rig, tablet: Tablet) -> Rig:
    """Return a run in the middle of its work, the supervisor signed in."""
    assert tablet is rig.tablet
    rig.do_deck_work()
    rig.do_floor_until(STEP)
    return rig


def hold(rig: Rig, cause: Cause = Cause.WEATHER, words: str = "") -> None:
    answer = rig.tablet.post(f"{rig.home}/hold", {"cause": cause.value, "words": words})
    assert answer.status_code == 303


def test_hold_is_one_tap_away_on_every_page_of_a_run(working: Rig) -> None:
    for path in ("", "/deck", f"/steps/{STEP}", "/at-step", "/close-out"):
        (way,) = working.tablet.page(working.home + path).all("a", class_="button hold-now")
        assert way.attributes["href"] == f"{working.home}/hold"

    causes = working.tablet.page(f"{working.home}/hold").all("button", name="cause")
    assert [button.attributes["value"] for button in causes] == list(Cause)


def test_a_tap_on_a_cause_puts_work_on_hold_and_every_page_says_so(working: Rig) -> None:
    hold(working, Cause.WEATHER, "45 knots")

    page = working.tablet.page(working.home)
    assert working.run.state is RunState.ON_HOLD
    assert "weather or sea: 45 knots" in page.one("p", class_="strip standing").text()
    assert not page.all("button", id="done")
    assert page.one("a", class_="button main-act hold").attributes["href"] == f"{working.home}/hold"


@pytest.mark.parametrize(
    ("typed", "words"),
    [({"cause": "bored"}, "Choose what work waits for"), ({"cause": "something else"}, "in a few words")],
)
def test_a_hold_without_a_cause_is_refused_with_what_was_typed(
    working: Rig, typed: dict[str, str], words: str
) -> None:
    answer = working.tablet.post(f"{working.home}/hold", {"words": " ", **typed})

    assert answer.status_code == 422
    assert words in read_page(answer.text).text()
    assert working.run.state is RunState.RUNNING


def test_the_card_shows_last_current_next_and_what_is_open(working: Rig) -> None:
    path = f"{working.home}/steps/{STEP}"
    deviation = {"what": "collar scratched", "why": "dropped", "proposed": "rework"}
    working.tablet.send(path, f"{path}/deviations", deviation)
    hold(working)

    words = working.tablet.page(f"{working.home}/hold").text()

    for number in (STEP - 1, STEP, STEP + 1):
        assert f"Step {number}: {working.run.sheet.steps[number - 1].text}" in words
    assert "Deviation 1 at step 60 is not settled: collar scratched" in words
    assert "Test Supervisor (supervisor)" in words
    assert "One step back first" not in words


def test_the_card_says_what_of_a_try_is_outside_in_the_units_that_are_looked_at(working: Rig) -> None:
    bad = working.good_values(STEP) | {"value-0": "300"}
    working.tablet.post(f"{working.home}/steps/{STEP}/done", bad)
    hold(working)

    planned = working.tablet.page(f"{working.home}/hold").text()
    working.tablet.post("/display", {"units": "si"})
    told = working.tablet.page(f"{working.home}/hold").text()

    assert f"Step {STEP} was tried and is outside its limits: torque 300 ft·lbf" in planned
    assert f"Step {STEP} was tried and is outside its limits: torque 300 ft·lbf (407 N·m)" in told
    assert "target 500 ft·lbf (678 N·m)" in told


def test_a_tick_during_a_hold_is_refused_with_the_way_out(working: Rig) -> None:
    hold(working)

    answer = working.tablet.post(f"{working.home}/steps/{STEP}/done", working.good_values(STEP))

    assert answer.status_code == 409
    assert "The run is on hold: nobody may tick a step now. Resume it first." in answer.text


def test_after_a_short_hold_whoever_held_goes_straight_on(working: Rig) -> None:
    hold(working)
    working.clock.pass_by(600)

    answer = working.tablet.send(f"{working.home}/hold", f"{working.home}/resume")

    assert answer.headers["location"] == working.home
    assert working.run.state is RunState.RUNNING
    assert working.tablet.page(working.home).one("button", id="done")


def test_after_a_long_hold_he_looks_one_step_back_and_confirms_or_undoes_it(working: Rig) -> None:
    hold(working)
    working.clock.pass_by(3600)
    card, way = f"{working.home}/hold", f"{working.home}/resume"

    shown = working.tablet.page(card).text()
    blind = working.tablet.send(card, way, {"words": "all quiet"})
    undone = working.tablet.send(card, way, {"look": "undone", "words": "slips have moved"})

    assert f"Go and look at step {STEP - 1}" in shown
    assert blind.status_code == 422
    assert f"Look at step {STEP - 1} once more" in blind.text
    assert read_page(blind.text).one("input", id="words").attributes["value"] == "all quiet"
    assert undone.status_code == 303
    assert working.run.floor_next == STEP - 1
    ended = working.run.interruptions[-1].ended
    assert ended is not None
    assert (ended.look, ended.step) == (LookBack.UNDONE, STEP - 1)


def test_somebody_else_looks_back_however_short_it_was(working: Rig) -> None:
    hold(working)
    working.tablet.sign_in("driller")

    card = working.tablet.page(f"{working.home}/hold").text()
    answer = working.tablet.send(f"{working.home}/hold", f"{working.home}/resume")

    assert "somebody else put it on hold" in card
    assert "This is for the supervisor." in card
    assert answer.status_code == 403


def test_lost_time_stands_by_cause_on_the_page_and_in_the_log(working: Rig) -> None:
    for cause, seconds in ((Cause.WEATHER, 1200.0), (Cause.PARTS, 600.0), (Cause.WEATHER, 300.0)):
        hold(working, cause)
        working.clock.pass_by(seconds)
        working.tablet.send(f"{working.home}/hold", f"{working.home}/resume")

    table = working.tablet.page(f"{working.home}/at-step").one("section", aria_labelledby="time").text()
    log = working.tablet.page(f"{working.home}/log").text()

    assert "Weather or sea25 min2 Waiting for parts or gear10 min1 In all35 min" in table
    assert "Work put on hold: waiting for parts or gear." in log
    assert "Work goes on." in log
