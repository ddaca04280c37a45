"""A hold point on its page: the talk, each signature for himself, and the stage that opens."""

import pytest
from httpx import Response

from app.services.signing import HOLD_MEANING
from tests import runner
from tests.web.conftest import START, Rig, Tablet
from tests.web.html_page import form_to, read_page

STAGE = "first-lift-pump"


def test_an_unsigned_hold_point_stands_in_place_of_done(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()

    page = tablet.page(rig.home)

    assert not page.all("button", id="done")
    ways = page.all("a", href=f"{rig.home}/hold-points/{STAGE}")
    assert [way.attributes["class"] for way in ways] == ["button main-act hold"]
    refused = tablet.post(f"{rig.home}/steps/{rig.run.floor_next}/done")
    assert refused.status_code == 409
    assert "stands behind the hold point" in read_page(refused.text).text()


def test_the_talk_needs_every_topic_and_everybody_who_must_sign(rig: Rig, tablet: Tablet) -> None:
    path = f"{rig.home}/hold-points/{STAGE}"
    topics, everybody = _topics(rig), [person.person_id for person in rig.crew.values()]

    half = tablet.post(f"{path}/talk", {"topic": topics[:1], "there": everybody})
    alone = tablet.post(f"{path}/talk", {"topic": topics, "there": everybody[:1]})

    assert half.status_code == 409
    assert "Talk through every topic first" in half.text
    assert "Nobody on the attendance is" in alone.text
    kept = read_page(half.text)
    ticked = [
        box.attributes["value"] for box in kept.all("input", type="checkbox") if "checked" in box.attributes
    ]
    assert ticked == [topics[0], *sorted(everybody, key=lambda person_id: _name_of(rig, person_id))]


def test_somebody_else_than_the_supervisor_does_not_lead_the_talk(rig: Rig) -> None:
    rig.tablet.sign_in("driller")

    answer = rig.tablet.post(f"{rig.home}/hold-points/{STAGE}/talk", {"topic": _topics(rig)})

    assert answer.status_code == 403
    assert "may not lead the talk" in answer.text


def test_each_signs_for_himself_and_the_last_signature_opens_the_stage(rig: Rig, tablet: Tablet) -> None:
    path = f"{rig.home}/hold-points/{STAGE}"
    _hold_talk(rig, tablet)

    shown = tablet.page(path)
    for person in rig.crew.values():
        rig.clock.pass_by(30)
        answer = _sign(rig, tablet, person.role)
        assert answer.status_code == 303

    assert shown.text().count(HOLD_MEANING) > 1
    assert "2026-03-01 08:00:00 +0100" in shown.text()
    after = tablet.page(path)
    assert "Signed by all" in after.text()
    assert not [form for form in after.all("form") if form.attributes["action"].endswith(("/talk", "/sign"))]
    assert rig.run.hold(STAGE).released_at is not None
    assert rig.run.hold(STAGE).signatures[0].at > START


def test_no_control_signs_for_more_than_one_person(rig: Rig, tablet: Tablet) -> None:
    path = f"{rig.home}/hold-points/{STAGE}"
    _hold_talk(rig, tablet)

    page = tablet.page(path)

    signing = [form for form in page.all("form") if form.attributes["action"] == f"{path}/sign"]
    assert len(signing) == len(rig.crew)
    for form in signing:
        assert len(form.all("input", name="person")) == 1
        assert len(form.all("input", name="pin")) == 1
        assert len(form.all("button")) == 1
        assert "data-never-queued" in form.attributes


def test_two_signatures_within_seconds_are_flagged_in_words(rig: Rig, tablet: Tablet) -> None:
    _hold_talk(rig, tablet)
    _sign(rig, tablet, "driller")
    rig.clock.pass_by(2)
    _sign(rig, tablet, "floor crew")

    text = tablet.page(f"{rig.home}/hold-points/{STAGE}").text()

    assert text.count("within seconds of the signature before") == 1


@pytest.mark.parametrize("pin", ["000001", "", runner.PINS["Test Hand"]])
def test_a_wrong_pin_signs_nothing(rig: Rig, tablet: Tablet, pin: str) -> None:
    _hold_talk(rig, tablet)
    driller = rig.crew["driller"]

    answer = _sign(rig, tablet, "driller", pin=pin)

    page = read_page(answer.text)
    assert answer.status_code == 401
    assert f"not the PIN of {driller.name}" in page.text()
    assert not rig.run.hold(STAGE).signatures
    opened = [
        form for form in page.all("details") if "open" in form.attributes and form.all("input", name="pin")
    ]
    assert [form.one("input", name="person").attributes["value"] for form in opened] == [driller.person_id]


def test_what_is_signed_is_what_was_shown(rig: Rig, tablet: Tablet) -> None:
    _hold_talk(rig, tablet)
    driller = rig.crew["driller"]

    answer = tablet.post(
        f"{rig.home}/hold-points/{STAGE}/sign",
        {"person": driller.person_id, "pin": runner.PINS[driller.name], "shown": "something else"},
    )

    assert answer.status_code == 409
    assert "has changed since you saw it" in answer.text


def test_the_work_ahead_and_its_cautions_stand_on_the_page(rig: Rig, tablet: Tablet) -> None:
    steps = rig.run.sheet.steps_of(STAGE)

    text = tablet.page(f"{rig.home}/hold-points/{STAGE}").text()

    for step in steps:
        assert " ".join(step.text.split()) in text
        for caution in step.cautions:
            assert caution.value in text


def test_a_hold_point_that_the_sheet_has_not_is_not_found(rig: Rig, tablet: Tablet) -> None:
    assert tablet.get(f"{rig.home}/hold-points/deck-work").status_code == 404
    assert tablet.get(f"{rig.home}/hold-points/nothing").status_code == 404


def _topics(rig: Rig) -> list[str]:
    point = rig.run.sheet.stage(STAGE).hold_point
    assert point is not None
    return list(point.topics)


def _name_of(rig: Rig, person_id: str) -> str:
    return next(person.name for person in rig.crew.values() if person.person_id == person_id)


def _hold_talk(rig: Rig, tablet: Tablet) -> None:
    there = [person.person_id for person in rig.crew.values()]
    answer = tablet.post(f"{rig.home}/hold-points/{STAGE}/talk", {"topic": _topics(rig), "there": there})
    assert answer.status_code == 303


def _sign(rig: Rig, tablet: Tablet, role: str, *, pin: str | None = None) -> Response:
    person = rig.crew[role]
    path = f"{rig.home}/hold-points/{STAGE}"
    form = form_to(tablet.page(path), f"{path}/sign")
    own = runner.PINS[person.name] if pin is None else pin
    return tablet.post(f"{path}/sign", {**form.values, "person": person.person_id, "pin": own})
