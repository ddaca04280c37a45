"""The pages of the people: adding, changing, unlocking, and choosing a PIN on a tablet handed over."""

from datetime import timedelta

import pytest

from app.services.people import everybody, person_of
from app.services.people_log import people_log
from app.services.pins import TIME_TO_CHOOSE
from app.services.runs import new_key
from app.services.tries import MOST_FAILURES
from tests import runner
from tests.web.conftest import Rig, Tablet
from tests.web.html_page import read_page

LEAD_PIN = runner.PINS["Test Supervisor"]
NEW = {"pin-new": "731946", "pin-again": "731946"}


def lock_out(rig: Rig, role: str) -> None:
    """Lock a person by wrong PINs, waiting as long as one must."""
    for _ in range(MOST_FAILURES):
        rig.tablet.post(f"/sign-in/{rig.crew[role].person_id}", {"pin": "000001"})
        rig.clock.pass_by(600)


def hand_over(rig: Rig, role: str) -> str:
    """Hand the tablet over to the person of a role and return his page's address."""
    page = f"/people/{rig.crew[role].person_id}"
    answer = rig.tablet.send(page, f"{page}/pin", {"pin": LEAD_PIN, "why": "forgotten"})
    assert answer.headers["location"] == "/choose-pin", answer.text
    return page


def test_a_supervisor_adds_people_with_his_own_pin_and_none_for_them(rig: Rig, tablet: Tablet) -> None:
    typed = {"name": "Test Newcomer", "role": "floor crew", "pin": LEAD_PIN}

    answer = tablet.send("/people", "/people", typed)
    again = tablet.send("/people", "/people", typed)

    assert answer.status_code == 303
    assert again.status_code == 422
    assert "already a person named Test Newcomer" in again.text
    added = next(person for person in everybody(rig.site) if person.name == "Test Newcomer")
    assert (added.role, added.has_pin) == ("floor crew", False)
    assert "Test Newcomer floor crew; has no PIN yet" in tablet.page("/people").text()
    assert "no PIN yet" in tablet.page("/sign-in").text()


def test_a_form_that_is_sent_twice_changes_a_person_once(rig: Rig, tablet: Tablet) -> None:
    page, key = f"/people/{rig.crew['driller'].person_id}", new_key()
    added = {"name": "Test Newcomer", "role": "floor crew", "pin": LEAD_PIN}
    left = {"why": "end of the hitch", "pin": LEAD_PIN}
    before = len(people_log(rig.site))

    answers = [tablet.post("/people", added, key=key) for _ in range(2)]
    answers += [tablet.post(f"{page}/leave", left, key=new_key() if again else key) for again in range(2)]

    assert [answer.status_code for answer in answers] == [303, 303, 422, 303]
    assert len(people_log(rig.site)) == before + 2


def test_nobody_is_added_without_the_supervisors_pin(rig: Rig, tablet: Tablet) -> None:
    typed = {"name": "Test Newcomer", "role": "floor crew", "pin": "731946"}

    answer = tablet.send("/people", "/people", typed)

    page = read_page(answer.text)
    assert answer.status_code == 401
    assert "That is not the PIN of Test Supervisor" in page.text()
    assert page.one("input", id="name").attributes["value"] == "Test Newcomer"
    assert "731946" not in answer.text


def test_nobody_else_adds_people(rig: Rig) -> None:
    rig.tablet.sign_in("driller")

    answer = rig.tablet.post("/people", {"name": "X Y", "role": "driller", "pin": "731946"})

    assert not rig.tablet.page("/people").all("form", action="/people")
    assert answer.status_code == 403
    assert "may not add people" in answer.text


def test_a_locked_person_is_unlocked_by_a_supervisor(rig: Rig, tablet: Tablet) -> None:
    page = f"/people/{rig.crew['driller'].person_id}"
    lock_out(rig, "driller")
    locked = tablet.sign_in("driller")

    shown = tablet.page("/people").text()
    answer = tablet.send(page, f"{page}/unlock", {"pin": LEAD_PIN, "why": "wet gloves"})

    assert locked.status_code == 401
    assert "Test Driller driller; locked after wrong PINs" in shown
    assert answer.headers["location"] == page
    assert "Test Driller unlocked. Why: wet gloves" in tablet.page(page).text()
    assert tablet.sign_in("driller").status_code == 303


def test_a_wait_is_told_in_seconds(rig: Rig) -> None:
    driller = rig.crew["driller"]
    for _ in range(3):
        rig.tablet.post(f"/sign-in/{driller.person_id}", {"pin": "000001"})

    early = rig.tablet.sign_in("driller")
    rig.clock.pass_by(5)

    assert early.status_code == 401
    assert "Wait 5 seconds before the next PIN of Test Driller" in read_page(early.text).text()
    assert rig.tablet.sign_in("driller").status_code == 303


def test_a_role_is_changed_and_counts_at_the_next_tap(rig: Rig, tablet: Tablet) -> None:
    driller = rig.crew["driller"]
    page = f"/people/{driller.person_id}"
    rig.tablet.sign_in("driller")
    of_driller = tablet.client.cookies["twinleg"]
    tablet.client.cookies.clear()
    tablet.sign_in("supervisor")

    typed = {"role": "pump technician", "why": "changed jobs", "pin": LEAD_PIN}
    answer = tablet.send(page, f"{page}/role", typed)
    tablet.client.cookies.set("twinleg", of_driller)

    assert answer.status_code == 303
    assert "pump technician" in tablet.page("/").one("header").text()
    told = "Test Driller, driller before, is pump technician now. Why: changed jobs"
    assert told in tablet.page("/people/changes").text()


def test_somebody_leaves_and_comes_back(rig: Rig, tablet: Tablet) -> None:
    page = f"/people/{rig.crew['driller'].person_id}"
    typed = {"pin": LEAD_PIN, "why": "end of the hitch"}

    left = tablet.send(page, f"{page}/leave", typed)
    names = tablet.page("/sign-in").text()
    back = tablet.send(page, f"{page}/back", {**typed, "why": "next hitch"})

    assert (left.status_code, back.status_code) == (303, 303)
    assert "Test Driller" not in names
    assert tablet.sign_in("driller").status_code == 303


@pytest.mark.parametrize("act", ["role", "leave", "back", "unlock", "pin"])
def test_nobody_but_a_supervisor_changes_people(rig: Rig, act: str) -> None:
    rig.tablet.sign_in("driller")
    page = f"/people/{rig.crew['floor crew'].person_id}"
    before = people_log(rig.site)

    typed = {"role": "supervisor", "why": "I wish", "pin": runner.PINS["Test Driller"]}
    answer = rig.tablet.post(f"{page}/{act}", typed)

    assert answer.status_code == 403
    assert "that is for the supervisor" in answer.text
    assert people_log(rig.site) == before
    assert not rig.tablet.page(page).all("form", action=f"{page}/{act}")


def test_a_change_without_a_reason_shows_what_was_typed(rig: Rig, tablet: Tablet) -> None:
    page = f"/people/{rig.crew['driller'].person_id}"

    answer = tablet.send(page, f"{page}/role", {"role": "cable splicer", "pin": LEAD_PIN})

    shown = read_page(answer.text)
    assert answer.status_code == 422
    assert "Say why, in a few words" in shown.text()
    assert shown.one("input", id="change_role-role").attributes["value"] == "cable splicer"


def test_a_pin_is_chosen_on_the_tablet_that_was_handed_over_and_signs_its_owner_in(
    rig: Rig, tablet: Tablet
) -> None:
    page = hand_over(rig, "driller")
    assert tablet.get(page).headers["location"].startswith("/sign-in")
    assert "Test Driller, choose your PIN" in tablet.page("/choose-pin").text()

    answer = tablet.send("/choose-pin", "/choose-pin", NEW)

    assert answer.headers["location"] == "/"
    assert "Test Driller" in tablet.page("/").one("header").text()
    assert "twinleg-choosing" not in tablet.client.cookies
    assert tablet.get("/choose-pin").status_code == 409
    told = tablet.page("/people/changes").text()
    assert "Test Driller chose a PIN." in told
    assert "the tablet was handed over to choose another. Why: forgotten" in told
    assert "731946" not in told


def test_the_supervisor_is_signed_out_on_the_tablet_that_he_hands_over(rig: Rig, tablet: Tablet) -> None:
    before = tablet.client.cookies["twinleg"]
    hand_over(rig, "driller")
    tablet.client.cookies.set("twinleg", before)

    assert tablet.get("/people").headers["location"].startswith("/sign-in")


def test_no_other_tablet_can_choose(rig: Rig, tablet: Tablet) -> None:
    hand_over(rig, "driller")
    tablet.client.cookies.clear()

    answer = tablet.get("/choose-pin")
    sent = tablet.post("/choose-pin", NEW)

    assert (answer.status_code, sent.status_code) == (409, 409)
    assert "Ask a supervisor to hand you the tablet once more" in answer.text
    assert not person_of(rig.site, rig.crew["driller"].person_id).has_pin


def test_a_choice_has_its_time(rig: Rig, tablet: Tablet) -> None:
    hand_over(rig, "driller")
    rig.clock.pass_by(TIME_TO_CHOOSE / timedelta(seconds=1))

    assert tablet.post("/choose-pin", NEW).status_code == 409


@pytest.mark.parametrize(
    ("typed", "text"),
    [
        ({"pin-new": "731946", "pin-again": "731947"}, "The two PINs differ"),
        ({"pin-new": "111111", "pin-again": "111111"}, "one of the first that anybody would try"),
    ],
)
def test_a_pin_that_may_not_be_is_asked_for_again(
    rig: Rig, tablet: Tablet, typed: dict[str, str], text: str
) -> None:
    hand_over(rig, "driller")

    answer = tablet.send("/choose-pin", "/choose-pin", typed)

    assert answer.status_code == 422
    assert text in read_page(answer.text).text()
    assert typed["pin-new"] not in answer.text
    assert tablet.send("/choose-pin", "/choose-pin", NEW).status_code == 303


def test_a_supervisor_cannot_hand_the_tablet_to_himself(rig: Rig, tablet: Tablet) -> None:
    page = f"/people/{rig.crew['supervisor'].person_id}"

    answer = tablet.post(f"{page}/pin", {"pin": LEAD_PIN, "why": "forgotten"})

    assert answer.status_code == 422
    assert "change it yourself" in read_page(answer.text).text()
    assert tablet.get("/people").status_code == 200


def test_somebody_changes_his_own_pin_and_stays_signed_in_here_alone(rig: Rig) -> None:
    rig.tablet.sign_in("driller")
    elsewhere = rig.tablet.client.cookies["twinleg"]
    rig.tablet.client.cookies.clear()
    rig.tablet.sign_in("driller")

    answer = rig.tablet.send("/own-pin", "/own-pin", {**NEW, "pin": runner.PINS["Test Driller"]})

    assert answer.headers["location"] == f"/people/{rig.crew['driller'].person_id}"
    assert rig.tablet.get("/people").status_code == 200
    rig.tablet.client.cookies.set("twinleg", elsewhere)
    assert rig.tablet.get("/people").status_code == 303
    assert rig.tablet.sign_in("driller").status_code == 401


@pytest.mark.parametrize(
    ("typed", "status", "text"),
    [
        ({**NEW, "pin": "000001"}, 401, "That is not the PIN of Test Driller"),
        ({"pin-new": "1", "pin-again": "2", "pin": "518273"}, 422, "The two PINs differ"),
    ],
)
def test_ones_own_pin_stays_where_the_change_is_refused(
    rig: Rig, typed: dict[str, str], status: int, text: str
) -> None:
    rig.tablet.sign_in("driller")

    answer = rig.tablet.send("/own-pin", "/own-pin", typed)

    assert answer.status_code == status
    assert text in read_page(answer.text).text()
    assert rig.tablet.sign_in("driller").status_code == 303
