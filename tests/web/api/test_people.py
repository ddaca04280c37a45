"""People over HTTP: added, changed, unlocked, and their PINs chosen by nobody but themselves."""

from typing import Any

import pytest

from app.services.people import everybody, person_of
from app.services.people_log import people_log
from app.services.runs import new_key
from app.services.tries import MOST_FAILURES
from tests import runner
from tests.web.api.conftest import Program, Starting, assert_problem
from tests.web.conftest import Rig

LEAD_PIN = runner.PINS["Test Supervisor"]
NEW_PIN = "731946"
NEWCOMER = {"name": "Test Newcomer", "role": "floor crew", "pin": LEAD_PIN}
WITH_REASON = {"reason": "it is so", "pin": LEAD_PIN}
CHOICE = "/api/people/{person_id}/pin-choice"
ACTS: dict[str, dict[str, str]] = {
    "role": {"role": "pump technician"},
    "leave": {},
    "back": {},
    "unlock": {},
    "pin-choice": {},
}


def of(rig: Rig, role: str) -> dict[str, str]:
    return {"person_id": rig.crew[role].person_id}


def state_of(program: Program, rig: Rig, role: str) -> dict[str, Any]:
    people: list[dict[str, Any]] = program.get("/api/people/everybody").json()
    return next(person for person in people if person["person_id"] == rig.crew[role].person_id)


def test_a_person_sent_twice_under_one_key_is_added_once_and_answered_alike(
    rig: Rig, program: Program
) -> None:
    key, before = new_key(), len(people_log(rig.site))

    first = program.post("/api/people", NEWCOMER, key=key)
    again = program.post("/api/people", NEWCOMER, key=key)

    assert (first.status_code, again.status_code) == (200, 200)
    assert again.content == first.content
    assert again.headers["Idempotency-Repeated"] == "true"
    assert first.json()["events"] == ["person-added"]
    assert len(people_log(rig.site)) == before + 1
    added = person_of(rig.site, first.json()["person"])
    assert (added.name, added.role, added.has_pin) == ("Test Newcomer", "floor crew", False)


def test_the_same_name_under_another_key_is_a_taken_name(program: Program) -> None:
    program.post("/api/people", NEWCOMER)

    answer = program.post("/api/people", NEWCOMER)

    assert_problem(answer, 422, "name-taken", "already a person named Test Newcomer")


def test_another_person_under_the_same_key_is_refused(rig: Rig, program: Program) -> None:
    key = new_key()
    program.post("/api/people", NEWCOMER, key=key)

    answer = program.post("/api/people", NEWCOMER | {"name": "Somebody Else"}, key=key)

    assert_problem(answer, 422, "key-reused", "differs in body")
    assert all(person.name != "Somebody Else" for person in everybody(rig.site))


def test_somebody_has_another_role_leaves_and_comes_back(rig: Rig, program: Program) -> None:
    at, key = of(rig, "driller"), new_key()
    role = WITH_REASON | {"role": "pump technician"}

    changed = program.post("/api/people/{person_id}/role", role, at, key=key)
    again = program.post("/api/people/{person_id}/role", role, at, key=key)
    left = program.post("/api/people/{person_id}/leave", WITH_REASON, at)
    gone = state_of(program, rig, "driller")
    back = program.post("/api/people/{person_id}/back", WITH_REASON, at)

    assert again.content == changed.content
    assert [answer.json()["events"] for answer in (changed, left, back)] == [
        ["role-changed"],
        ["person-left"],
        ["person-came-back"],
    ]
    assert (gone["active"], gone["role"]) == (False, "pump technician")
    assert state_of(program, rig, "driller")["active"]
    told = program.get("/api/people/changes").json()[-3:]
    assert [(entry["kind"], entry["role"], entry["why"]) for entry in told] == [
        ("role-changed", "pump technician", "it is so"),
        ("person-left", "", "it is so"),
        ("person-came-back", "", "it is so"),
    ]
    assert {entry["by"]["name"] for entry in told} == {"Test Supervisor"}


def test_a_locked_person_is_unlocked(rig: Rig, program: Program, nobody: Program) -> None:
    wrong = {"person": rig.crew["driller"].person_id, "pin": "000001"}
    for _ in range(MOST_FAILURES):
        nobody.post("/api/sign-in", wrong, key="")
        rig.clock.pass_by(600)
    assert state_of(program, rig, "driller")["locked"]

    answer = program.post("/api/people/{person_id}/unlock", WITH_REASON, of(rig, "driller"))

    assert answer.json()["events"] == ["person-unlocked"]
    nobody.sign_in("driller")


@pytest.mark.parametrize(("way", "more"), ACTS.items())
def test_nobody_but_a_supervisor_changes_people(
    rig: Rig, start: Starting, way: str, more: dict[str, str]
) -> None:
    driller, before = start("driller"), people_log(rig.site)
    body = {"reason": "I wish", "pin": runner.PINS["Test Driller"], **more}

    answer = driller.post("/api/people/{person_id}/" + way, body, of(rig, "floor crew"))

    assert_problem(answer, 403, "role", "that is for the supervisor")
    assert people_log(rig.site) == before


@pytest.mark.parametrize(("way", "more"), ACTS.items())
def test_a_change_wants_the_callers_pin_a_reason_and_a_key(
    rig: Rig, program: Program, way: str, more: dict[str, str]
) -> None:
    path, at, before = "/api/people/{person_id}/" + way, of(rig, "driller"), people_log(rig.site)
    body = WITH_REASON | more

    assert_problem(program.post(path, body | {"pin": "000001"}, at), 401, "sign-in", "not the PIN")
    assert_problem(program.post(path, body | {"reason": " "}, at), 422, "reason-missing", "Say why")
    assert_problem(program.post(path, body, at, key=""), 422, "key-missing", "Idempotency-Key")
    assert_problem(
        program.post(path, body, {"person_id": "nobody"}), 404, "unknown-person", "No person has the id"
    )
    assert people_log(rig.site) == before


def test_who_is_in_charge_of_a_run_does_not_leave(rig: Rig, program: Program, start: Starting) -> None:
    other = {"name": "Test Relief", "role": "supervisor", "pin": LEAD_PIN}
    program.post("/api/people", other)

    answer = program.post("/api/people/{person_id}/leave", WITH_REASON, of(rig, "supervisor"))

    assert answer.status_code == 422
    assert answer.json()["rule"] == "person"


def test_a_pin_is_chosen_by_the_one_who_holds_the_cookie_and_told_to_nobody(
    rig: Rig, program: Program
) -> None:
    opened = program.post(CHOICE, WITH_REASON, of(rig, "driller"))
    cookie = opened.headers["set-cookie"]
    token = program.client.cookies["twinleg-choosing"]
    signed_out = program.get("/api/people/everybody")
    program.token = ""
    shown = program.get("/api/pin-choice").json()
    key = new_key()
    chosen = program.post("/api/pin-choice", {"pin": NEW_PIN}, key=key)
    again = program.post("/api/pin-choice", {"pin": NEW_PIN}, key=key)
    other = program.post("/api/pin-choice", {"pin": "640287"}, key=key)

    assert opened.json()["events"] == ["pin-choice-opened"]
    assert token not in opened.text
    assert "HttpOnly" in cookie
    assert_problem(signed_out, 401, "nobody", "")
    assert shown["who"]["name"] == "Test Driller"
    assert chosen.json()["who"] == again.json()["who"] == shown["who"]
    assert_problem(other, 401, "sign-in", "That is not the PIN of Test Driller")
    program.token = again.json()["token"]
    assert [entry["kind"] for entry in program.get("/api/people/changes").json()[-2:]] == [
        "pin-choice-opened",
        "pin-chosen",
    ]


def test_a_tablet_handed_over_twice_under_one_key_is_the_same_tablet(rig: Rig, program: Program) -> None:
    key = new_key()
    first = program.post(CHOICE, WITH_REASON, of(rig, "driller"), key=key)
    token = program.client.cookies["twinleg-choosing"]
    program.client.cookies.clear()
    program.sign_in("supervisor")

    again = program.post(CHOICE, WITH_REASON, of(rig, "driller"), key=key)

    assert again.content == first.content
    assert program.client.cookies["twinleg-choosing"] == token


def test_a_pin_that_may_not_be_is_refused_and_the_choice_goes_on(rig: Rig, program: Program) -> None:
    program.post(CHOICE, WITH_REASON, of(rig, "driller"))

    answer = program.post("/api/pin-choice", {"pin": "111111"})

    assert_problem(answer, 422, "pin", "one of the first that anybody would try")
    assert program.post("/api/pin-choice", {"pin": NEW_PIN}).status_code == 200


def test_nobody_chooses_a_pin_without_the_cookie(rig: Rig, program: Program, nobody: Program) -> None:
    program.post(CHOICE, WITH_REASON, of(rig, "driller"))

    assert_problem(nobody.get("/api/pin-choice"), 409, "pin-choice", "Nobody may choose a PIN")
    assert_problem(nobody.post("/api/pin-choice", {"pin": NEW_PIN}), 409, "pin-choice", "Nobody may choose")


def test_somebody_changes_his_own_pin_and_goes_on_with_a_fresh_sign_in(rig: Rig, start: Starting) -> None:
    driller, key = start("driller"), new_key()
    body = {"pin": runner.PINS["Test Driller"], "new": NEW_PIN}

    wrong = driller.post("/api/own-pin", body | {"pin": "000001"})
    changed = driller.post("/api/own-pin", body, key=key)
    ended = driller.get("/api/people/everybody")
    driller.token = changed.json()["token"]
    again = driller.post("/api/own-pin", body, key=key)

    assert_problem(wrong, 401, "sign-in", "That is not the PIN of Test Driller")
    assert_problem(ended, 401, "nobody", "")
    assert again.json()["who"] == changed.json()["who"]
    assert [entry.change.person.name for entry in people_log(rig.site)][-1] == "Test Driller"
