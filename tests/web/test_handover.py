"""A run handed over on its pages: four parts, nothing ticked meanwhile, and a sheet on paper."""

import re
from dataclasses import dataclass

import pytest

from app.domain.cross_check import asked_again
from app.domain.events.who import Who
from app.domain.run import RunState
from app.services.tries import Present
from tests import runner
from tests.web.conftest import Rig, Tablet
from tests.web.html_page import form_to, read_page

STEP = 75
RELIEF, PIN = "Rita Relief", "518264"


@dataclass(frozen=True, slots=True)
class Shift:
    """A run in the middle of its work, the supervisor in charge signed in, and his relief."""

    rig: Rig
    relief: Who

    @property
    def page(self) -> str:
        return f"{self.rig.home}/handover"

    @property
    def tablet(self) -> Tablet:
        return self.rig.tablet

    def draft_and_talk(self) -> None:
        self.tablet.send(self.page, f"{self.page}/draft", {"words": "Slips sit deep."})
        going_on = self.rig.run.handing_over
        assert going_on is not None
        items = list(going_on.drafted.open_items)
        self.tablet.send(self.page, f"{self.page}/talk", {"item": items})

    def sign_in_relief(self) -> None:
        assert self.tablet.post(f"/sign-in/{self.relief.person_id}", {"pin": PIN}).status_code == 303

    def values(self, **changed: str) -> dict[str, str]:
        """Return what is asked for as it was recorded, some of it typed otherwise."""
        run = self.rig.run
        assert run.handing_over is not None
        wanted = asked_again(run, run.handing_over)
        typed = {f"value-{at}": item.taken.value for at, item in enumerate(wanted)}
        return {**typed, "current": str(run.floor_next), **changed}


@pytest.fixture
def shift(rig: Rig, tablet: Tablet) -> Shift:
    """Return a run in the middle of its work with two supervisors on site."""
    assert tablet is rig.tablet
    rig.do_deck_work()
    rig.do_floor_until(STEP)
    by = Present(rig.crew["supervisor"])
    relief = tablet.do(runner.add_one(rig.site, by, RELIEF, "supervisor", pin=PIN))
    return Shift(rig, relief)


def test_a_run_is_handed_over_from_draft_to_acceptance(shift: Shift) -> None:
    tablet, page = shift.tablet, shift.page

    shift.draft_and_talk()
    shift.sign_in_relief()
    checked = tablet.send(page, f"{page}/check", shift.values())
    shown = tablet.page(page).text()
    typed = {"person": shift.relief.person_id, "pin": PIN}
    accepted = tablet.send(page, f"{page}/accept", typed)

    assert checked.status_code == 303
    assert "Slips sit deep." in shown
    assert "does not agree" not in shown
    assert accepted.status_code == 303
    assert shift.rig.run.in_charge == shift.relief
    assert "Test Supervisor to Rita Relief" in tablet.page(page).text()
    log = tablet.page(f"{shift.rig.home}/log").text()
    for words in ("Handover drafted: Slips sit deep.", "talked through", "cross-checked", "accepted"):
        assert words in log


def test_nothing_is_ticked_while_it_goes_on_and_every_page_says_so(shift: Shift) -> None:
    shift.draft_and_talk()

    answer = shift.tablet.post(f"{shift.rig.home}/steps/{STEP}/done", shift.rig.good_values(STEP))
    page = shift.tablet.page(shift.rig.home)

    assert answer.status_code == 409
    assert "handing over" in answer.text
    assert "Being handed over by Test Supervisor" in page.one("p", class_="strip standing").text()
    assert not page.all("button", id="done")
    assert page.one("a", class_="button main-act hold").attributes["href"] == shift.page


def test_a_deviation_raised_since_the_talk_is_talked_through_before_he_takes_over(shift: Shift) -> None:
    tablet, page = shift.tablet, shift.page
    typed = {"person": shift.relief.person_id, "pin": PIN}
    shift.draft_and_talk()
    shift.sign_in_relief()
    tablet.send(page, f"{page}/check", shift.values())
    accepting = form_to(tablet.page(page), f"{page}/accept").values
    deviation = {"step": str(STEP), "what": "low", "why": "worn", "proposed": "rework"}
    tablet.send(f"{shift.rig.home}/deviations", f"{shift.rig.home}/deviations", deviation)
    came = f"Deviation 1 at step {STEP} is not settled: low"

    refused = tablet.ask("POST", f"{page}/accept", {**accepting, **typed})
    shown = tablet.page(page)
    tablet.sign_in("supervisor")
    talked = tablet.send(page, f"{page}/talk", {"item": [came]})
    shift.sign_in_relief()
    accepted = tablet.send(page, f"{page}/accept", typed)

    assert refused.status_code == 409
    assert f"Since it was talked through this came: {came}" in read_page(refused.text).text()
    assert "This came since it was talked through" in shown.text()
    assert not shown.all("form", action=f"{page}/accept")
    assert (talked.status_code, accepted.status_code) == (303, 303)
    assert shift.rig.run.in_charge == shift.relief


def test_the_values_to_be_read_again_are_not_shown_where_they_are_typed(shift: Shift) -> None:
    shift.draft_and_talk()
    run = shift.rig.run
    assert run.handing_over is not None

    text = shift.tablet.get(shift.page).text
    sheet = shift.tablet.page(f"{shift.page}/sheet").text()

    for item in asked_again(run, run.handing_over):
        assert f'value="{item.taken.value}"' not in text
        assert not re.search(rf"(?<![\w.]){re.escape(item.taken.value)}(?![\w.])", read_page(text).text())
        assert item.taken.value not in sheet.partition("Last readings")[2].partition("Who was on")[0]
    assert "is read again by the incoming" in sheet


def test_a_difference_is_shown_and_wants_words(shift: Shift) -> None:
    tablet, page = shift.tablet, shift.page
    shift.draft_and_talk()
    shift.sign_in_relief()
    tablet.send(page, f"{page}/check", shift.values(current="12"))

    shown = tablet.page(page)
    typed = {"person": shift.relief.person_id, "pin": PIN}
    silent = tablet.send(page, f"{page}/accept", typed)
    settled = tablet.send(page, f"{page}/accept", typed | {"words": "looked at the wrong page"})

    refused = shown.one("p", class_="refused").text()
    assert f"typed 12, recorded {STEP}. This does not agree" in refused
    assert silent.status_code == 409
    assert "Say in words how it was settled" in silent.text
    assert settled.status_code == 303
    assert "looked at the wrong page" in tablet.page(page).text()


def test_a_value_left_out_is_asked_for_beside_its_field(shift: Shift) -> None:
    shift.draft_and_talk()
    shift.sign_in_relief()

    answer = shift.tablet.send(shift.page, f"{shift.page}/check", shift.values(**{"value-1": ""}))

    page = read_page(answer.text)
    assert answer.status_code == 422
    assert page.one("input", id="value-1").attributes["aria-invalid"] == "true"
    assert page.one("input", id="value-0").attributes["value"] == shift.values()["value-0"]
    assert page.one("input", id="current").attributes["value"] == str(STEP)


@pytest.mark.parametrize(
    ("role", "way", "typed", "status"),
    [
        ("driller", "draft", {"words": "mine"}, 403),
        ("supervisor", "draft", {"words": " "}, 409),
        ("supervisor", "check", {"current": "1"}, 409),
        ("supervisor", "take-back", {"reason": "x"}, 409),
    ],
)
def test_what_is_out_of_turn_is_refused(
    shift: Shift, role: str, way: str, typed: dict[str, str], status: int
) -> None:
    shift.tablet.sign_in(role)

    answer = shift.tablet.post(f"{shift.page}/{way}", typed)

    assert answer.status_code == status
    assert shift.rig.run.handing_over is None


def test_a_wrong_pin_takes_nothing_over(shift: Shift) -> None:
    shift.draft_and_talk()
    shift.sign_in_relief()
    shift.tablet.send(shift.page, f"{shift.page}/check", shift.values())

    wrong = {"person": shift.relief.person_id, "pin": runner.PINS["Test Driller"]}
    answer = shift.tablet.send(shift.page, f"{shift.page}/accept", wrong)
    stale = shift.tablet.send(shift.page, f"{shift.page}/accept", wrong | {"pin": PIN, "shown": "0" * 64})

    assert answer.status_code == 401
    assert stale.status_code == 409
    assert "changed since you saw it" in stale.text
    assert shift.rig.run.state is RunState.HANDING_OVER


def test_the_outgoing_takes_it_back_and_work_goes_on(shift: Shift) -> None:
    shift.draft_and_talk()

    answer = shift.tablet.send(shift.page, f"{shift.page}/take-back", {"reason": "relief is late"})

    assert answer.status_code == 303
    assert shift.tablet.page(shift.rig.home).one("button", id="done")
    assert "took it back (relief is late)" in shift.tablet.page(shift.page).text()


def test_the_sheet_goes_on_paper_and_into_a_file(shift: Shift) -> None:
    sheet = shift.tablet.page(f"{shift.page}/sheet")
    pages = shift.tablet.get(f"{shift.page}/pdf")

    words = sheet.text()
    for text in ("Where the run stands", "Open items", "Last readings", "Who was on", "Counts", "The string"):
        assert text in words
    assert sheet.one("img", class_="string-picture").attributes["src"].startswith(f"{shift.rig.home}/picture")
    assert pages.headers["content-type"] == "application/pdf"
    assert pages.content.startswith(b"%PDF-")
