"""Two people read for themselves: no page, form, figure or answer tells the second what the first read."""

import json

from app.domain.operations import Operation
from tests.web.conftest import Rig, Tablet
from tests.web.html_page import form_to, forms_of, read_page

FIRST = "6.1357"


def _number(rig: Rig) -> int:
    return next(step.number for step in rig.run.sheet.steps if step.operation is Operation.MEET_SWIVEL)


def _read_first(rig: Rig, tablet: Tablet) -> str:
    """Let the supervisor read the swivel, and return the address of its step."""
    rig.do_deck_work()
    number = _number(rig)
    rig.do_floor_until(number)
    path = f"{rig.home}/steps/{number}"
    values = {"value-0": FIRST, "unit-0": "in", "back": "run"}
    answer = tablet.post(f"{path}/done", values, htmx=True)
    assert answer.status_code == 200
    assert FIRST not in answer.text
    return path


def test_a_reading_that_waits_is_told_nowhere(rig: Rig, tablet: Tablet) -> None:
    path = _read_first(rig, tablet)
    pages = ["", "/sheet", "/log", "/figures", "/at-step", "/deviations", "/legs", "/string", "/load-out"]

    for role in ("supervisor", "driller"):
        tablet.sign_in(role)
        told = {at: tablet.get(f"{rig.home}{at}").text for at in pages} | {path: tablet.get(path).text}
        told["api step"] = tablet.get(f"/api{path}").text
        told["api run"] = tablet.get(f"/api{rig.home}").text
        told["api log"] = tablet.get(f"/api{rig.home}/log").text

        for at, text in told.items():
            assert FIRST not in text, at
    assert json.loads(told["api step"])["first_by"]["name"] == "Test Supervisor"
    assert "was read. What was read is kept back" in read_page(told["/log"]).text()


def test_whoever_read_first_is_offered_no_second_form(rig: Rig, tablet: Tablet) -> None:
    path = _read_first(rig, tablet)

    page = tablet.page(path)
    forced = tablet.post(f"{path}/second", {"value-0": FIRST, "unit-0": "in"})

    assert "Test Supervisor has read it" in page.text()
    assert all(not form.action.endswith(("/second", "/done")) for form in forms_of(page))
    assert forced.status_code == 409
    assert "somebody else takes the second one" in forced.text


def test_another_person_reads_again_and_the_step_is_done_with_both(rig: Rig, tablet: Tablet) -> None:
    path = _read_first(rig, tablet)
    tablet.sign_in("driller")

    form = form_to(tablet.page(rig.home), f"{path}/second")
    answer = tablet.send(rig.home, f"{path}/second", {"value-0": "6.15"})

    assert form.values["value-0"] == ""
    assert answer.status_code == 303
    page = tablet.page(path).text()
    assert "Read again by Test Driller" in page
    assert FIRST in page
    assert "6.15" in page
    assert FIRST in tablet.get(f"{rig.home}/log").text


def test_two_that_do_not_agree_leave_a_deviation_in_view(rig: Rig, tablet: Tablet) -> None:
    path = _read_first(rig, tablet)
    tablet.sign_in("driller")

    answer = tablet.send(path, f"{path}/second", {"value-0": "7.15", "confirmed-0": "yes"})

    assert answer.status_code == 303
    page = tablet.page(path)
    assert "Deviation 1 is open" in page.text()
    assert "Attempt 1 did not stand" in page.text()
    assert "Two people did not agree: both read it again, each for himself. Or deviation 1" in page.text()
    assert "There are two ways out" not in page.text()
    assert FIRST in page.text()
    assert f"{path}/done" in {form.action for form in forms_of(page)}
    links = [link.attributes["href"] for link in page.all("a")]
    assert f"{rig.home}/deviations#deviation-1" in links
    assert "Nobody has proposed yet" in tablet.page(f"{rig.home}/deviations").text()


def test_a_second_reading_that_cannot_be_read_is_refused_beside_its_field(rig: Rig, tablet: Tablet) -> None:
    path = _read_first(rig, tablet)
    tablet.sign_in("driller")

    answer = tablet.send(path, f"{path}/second", {"value-0": "long"}, htmx=True)

    page = read_page(answer.text)
    assert answer.status_code == 422
    assert "does not start with a number" in page.text()
    assert form_to(page, f"{path}/second").values["value-0"] == "long"
    assert FIRST not in answer.text
