"""Charge taken without a handover on its page: his own PIN, and a look back before work goes on."""

from dataclasses import dataclass

import pytest

from app.domain.commands import DraftHandover
from app.domain.events.who import Who
from app.domain.run import RunState, last_on_floor
from app.services.runs import act, new_key
from app.services.signing import shown_at_taking_charge
from app.services.tries import Present
from tests import runner
from tests.web.conftest import Rig, Tablet
from tests.web.html_page import read_page

STEP = 75
RELIEF, PIN = "Rita Relief", "518264"
WHY = {"reason": "flown out, ill", "pin": PIN}


@dataclass(frozen=True, slots=True)
class Left:
    """A run in the middle of its work whose supervisor is gone, and another one, signed in."""

    rig: Rig
    relief: Who

    @property
    def tablet(self) -> Tablet:
        return self.rig.tablet

    @property
    def handover(self) -> str:
        return f"{self.rig.home}/handover"

    @property
    def page(self) -> str:
        return f"{self.handover}/take-charge"

    def draft(self) -> None:
        drafting = DraftHandover("Slips sit deep.")
        self.tablet.do(act(self.rig.site, self.rig.run_id, drafting, self.rig.crew["supervisor"], new_key()))


@pytest.fixture
def left(rig: Rig, tablet: Tablet) -> Left:
    rig.do_deck_work()
    rig.do_floor_until(STEP)
    by = Present(rig.crew["supervisor"])
    relief = tablet.do(runner.add_one(rig.site, by, RELIEF, "supervisor", pin=PIN))
    assert tablet.post(f"/sign-in/{relief.person_id}", {"pin": PIN}).status_code == 303
    return Left(rig, relief)


def test_another_supervisor_takes_charge_from_the_handover_page_and_looks_one_step_back(left: Left) -> None:
    tablet, run = left.tablet, left.rig.run

    [way] = [a for a in tablet.page(left.handover).all("a") if a.attributes["href"] == left.page]
    shown = tablet.page(left.page).text()
    taken = tablet.send(left.page, left.page, WHY)
    stands = tablet.page(left.rig.home)
    tick = tablet.post(f"{left.rig.home}/steps/{STEP}/done", left.rig.good_values(STEP))
    card = tablet.page(f"{left.rig.home}/hold").text()
    last = last_on_floor(run)
    assert last is not None
    look = {"look": "confirmed", "step": str(last.number)}
    unseen = tablet.post(f"{left.rig.home}/resume", {"words": "go"})
    gone_on = tablet.send(f"{left.rig.home}/hold", f"{left.rig.home}/resume", look)

    assert "Test Supervisor is gone: take charge without a handover" in way.text()
    for words in (
        f"Step {last.number}",
        f"Step {STEP}",
        "Open:",
        "I am Rita Relief",
        "Nobody handed it over",
    ):
        assert words in shown
    assert (taken.status_code, taken.headers["location"]) == (303, f"{left.rig.home}/hold")
    assert "On hold since" in stands.text()
    assert not stands.all("button", id="done")
    assert tick.status_code == 409
    assert f"Go and look at step {last.number}" in card
    assert "charge was taken without a handover" in card
    assert (unseen.status_code, f"Look at step {last.number}" in unseen.text) == (422, True)
    assert gone_on.status_code == 303
    assert left.rig.run.in_charge == left.relief
    assert left.rig.run.state is RunState.RUNNING


def test_the_pages_the_log_and_the_sheet_say_who_did_not_hand_over_and_why(left: Left) -> None:
    left.draft()
    left.tablet.send(left.page, left.page, WHY | {"gone": "yes"})

    handover, sheet = (
        left.tablet.page(left.handover).text(),
        left.tablet.page(f"{left.handover}/sheet").text(),
    )
    log = left.tablet.page(f"{left.rig.home}/log").text()

    for page in (handover, sheet):
        assert "Rita Relief took charge without a handover. Test Supervisor did not hand over" in page
        assert "Why: flown out, ill" in page
    assert "Test Supervisor did not finish it: Rita Relief took charge" in handover
    assert "not finished: Rita Relief took charge" in sheet
    assert "Charge taken without a handover. Test Supervisor did not hand over" in log
    assert "In charge: Rita Relief" in handover


def test_a_handover_that_goes_on_is_ended_only_where_he_who_drafted_it_is_said_to_be_gone(left: Left) -> None:
    left.draft()

    refused = left.tablet.send(left.page, left.page, WHY)
    still = left.rig.run.handing_over
    taken = left.tablet.send(left.page, left.page, WHY | {"gone": "yes"})

    page = read_page(refused.text)
    assert refused.status_code == 409
    assert "accept that handover, or let him take it back" in page.text()
    assert page.one("input", id="reason").attributes["value"] == WHY["reason"]
    assert PIN not in refused.text
    assert still is not None
    assert taken.status_code == 303
    assert left.rig.run.handing_over is None
    assert left.rig.run.in_charge == left.relief


@pytest.mark.parametrize(
    ("typed", "status", "words"),
    [
        ({"pin": "000001"}, 401, "PIN"),
        ({"reason": " "}, 422, "reason"),
        ({"shown": "0" * 64}, 409, "changed since you saw it"),
    ],
    ids=["another PIN", "no reason", "not what was shown"],
)
def test_without_his_pin_a_reason_and_what_was_shown_nobody_takes_charge(
    left: Left, typed: dict[str, str], status: int, words: str
) -> None:
    answer = left.tablet.send(left.page, left.page, WHY | typed)

    assert answer.status_code == status
    assert words in read_page(answer.text).text()
    assert left.rig.run.in_charge == left.rig.crew["supervisor"]


def test_what_was_shown_is_no_longer_so_once_a_step_was_done(left: Left) -> None:
    shown = left.tablet.page(left.page).one("input", name="shown").attributes["value"]
    left.rig.do_floor_until(STEP + 1)

    answer = left.tablet.post(left.page, WHY | {"shown": shown})

    assert answer.status_code == 409
    assert "changed since you saw it" in answer.text


@pytest.mark.parametrize(
    ("role", "words"),
    [("driller", "Another supervisor takes charge"), ("supervisor", "is in charge already")],
)
def test_who_may_not_finds_no_form_and_is_refused(left: Left, role: str, words: str) -> None:
    left.tablet.sign_in(role)
    shown = left.tablet.page(left.page)
    name = left.rig.crew[role].name

    typed = {"reason": "mine", "pin": runner.PINS[name], "shown": shown_at_taking_charge(left.rig.run)}
    answer = left.tablet.post(left.page, typed)

    assert words in shown.text()
    assert not shown.all("input", name="pin")
    assert answer.status_code == (403 if role == "driller" else 409)
    assert name in answer.text
    assert left.rig.run.in_charge == left.rig.crew["supervisor"]


def test_the_card_of_the_hold_says_to_others_who_looks_back(left: Left) -> None:
    left.tablet.send(left.page, left.page, WHY)

    left.tablet.sign_in("supervisor")
    card = left.tablet.page(f"{left.rig.home}/hold").text()

    assert "Rita Relief looks one step back and lets work go on" in card
