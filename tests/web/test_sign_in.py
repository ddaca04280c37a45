"""Coming in: the first supervisor, names and PINs, the cookie, going out, and other people."""

from pathlib import Path
from urllib.parse import quote

import pytest

from app.demo import DEMO_CREW
from app.services.people import needs_first_person
from app.services.runs import new_key
from app.services.site import open_site
from app.web.application import create_application
from tests import runner
from tests.web.conftest import ADDRESS, HTMX, Clock, Rig, Tablet, settings_of
from tests.web.html_page import read_page

RUN_PAGES = (
    "steps/1",
    "deck",
    "sheet",
    "string",
    "at-step",
    "legs",
    "figures",
    "hold-points",
    "deviations",
    "load-out",
    "log",
    "close-out",
    "record",
)


def test_a_new_site_asks_for_its_first_supervisor(fresh_tablet: Tablet) -> None:
    assert fresh_tablet.get("/").headers["location"] == "/first-start"
    assert fresh_tablet.get("/sign-in").headers["location"] == "/first-start"

    typed = {"name": "Test Supervisor", "pin": "482915", "pin-again": "482915"}
    answer = fresh_tablet.send("/first-start", "/first-start", typed)

    assert answer.headers["location"] == "/"
    assert "Test Supervisor" in fresh_tablet.page("/").text()


def test_two_different_pins_are_refused_and_the_name_is_kept(fresh_tablet: Tablet) -> None:
    typed = {"name": "Test Supervisor", "pin": "482915", "pin-again": "482916"}

    answer = fresh_tablet.send("/first-start", "/first-start", typed)

    page = read_page(answer.text)
    assert answer.status_code == 422
    assert "The two PINs differ" in page.text()
    assert page.one("input", id="name").attributes["value"] == "Test Supervisor"
    assert "482915" not in answer.text
    assert needs_first_person(fresh_tablet.application.state.site)


def test_there_is_no_second_first_supervisor(rig: Rig) -> None:
    typed = {"name": "Somebody Else", "pin": "482915", "pin-again": "482915"}

    answer = rig.tablet.post("/first-start", typed)

    assert answer.status_code == 422
    assert "exists already" in answer.text
    assert rig.tablet.get("/first-start").headers["location"] == "/sign-in"


def test_people_choose_their_name_and_type_their_pin(rig: Rig) -> None:
    driller = rig.crew["driller"]
    names = rig.tablet.page("/sign-in?next=/people")
    address = f"/sign-in/{driller.person_id}"

    answer = rig.tablet.send(f"{address}?next=/people", address, {"pin": runner.PINS[driller.name]})

    assert names.all("a", href=f"{address}?next=/people")
    assert answer.headers["location"] == "/people"
    assert "Test Driller" in rig.tablet.page("/people").one("header").text()


def test_whoever_signs_in_comes_back_to_what_was_asked_for(rig: Rig, tablet: Tablet) -> None:
    driller, page = rig.crew["driller"], f"{rig.home}/swaps?place=MTR-1%20base"
    there = quote(page)
    address = f"/sign-in/{driller.person_id}"

    first = tablet.page(page).all("a", href=f"/sign-in?next={there}")
    second = tablet.page(f"/sign-in?next={there}").all("a", href=f"{address}?next={there}")
    answer = tablet.send(f"{address}?next={there}", address, {"pin": runner.PINS[driller.name]})
    tablet.post("/sign-out", {})
    signed_out = tablet.get(page)

    assert first
    assert second
    assert answer.headers["location"] == page
    assert signed_out.headers["location"] == f"/sign-in?next={there}"


def test_the_token_is_out_of_reach_of_scripts_and_other_sites(rig: Rig) -> None:
    cookie = rig.tablet.sign_in("driller").headers["set-cookie"]

    assert cookie.startswith("twinleg=")
    assert "HttpOnly" in cookie
    assert "SameSite=strict" in cookie
    assert "Path=/" in cookie


def test_over_https_the_browser_guards_the_cookie_by_its_name(rig: Rig) -> None:
    driller = rig.crew["driller"]

    answer = rig.tablet.ask(
        "POST",
        f"https://127.0.0.1:8000/sign-in/{driller.person_id}",
        {"key": "k" * 20, "pin": runner.PINS[driller.name]},
    )

    cookie = answer.headers["set-cookie"]
    assert cookie.startswith("__Host-twinleg=")
    assert "Secure" in cookie


def test_a_wrong_pin_says_how_many_tries_are_left(rig: Rig) -> None:
    person = rig.crew["driller"]

    answer = rig.tablet.post(f"/sign-in/{person.person_id}", {"pin": "000001"})

    assert answer.status_code == 401
    assert "more tries before it is locked" in answer.text
    assert "000001" not in answer.text
    assert "set-cookie" not in answer.headers


def test_a_change_of_person_is_two_taps_and_a_pin_on_every_page_of_a_run(rig: Rig, tablet: Tablet) -> None:
    driller = rig.crew["driller"]
    pages = [rig.home, *(f"{rig.home}/{page}" for page in RUN_PAGES)]

    for page in pages:
        first = tablet.page(page).all("a", href=f"/sign-in?next={page}")
        second = tablet.page(f"/sign-in?next={page}").all(
            "a", href=f"/sign-in/{driller.person_id}?next={page}"
        )

        assert (len(first), len(second)) == (1, 1), page


def test_the_token_of_the_one_before_ends_with_the_change(rig: Rig, tablet: Tablet) -> None:
    before = tablet.client.cookies["twinleg"]
    tablet.sign_in("driller")
    tablet.client.cookies.set("twinleg", before)

    answer = tablet.get("/")

    assert answer.headers["location"].startswith("/sign-in")


def test_somebody_signed_out_meanwhile_comes_back_to_the_page_and_not_to_its_form(rig: Rig) -> None:
    sent = rig.tablet.ask("POST", "/people", {"key": new_key()}, {"Referer": f"{ADDRESS}/people"})
    by_htmx = rig.tablet.ask(
        "POST", "/people", {"key": new_key()}, {**HTMX, "HX-Current-URL": f"{ADDRESS}/people"}
    )

    assert sent.headers["location"] == "/sign-in?next=/people"
    assert by_htmx.status_code == 204
    assert by_htmx.headers["hx-redirect"] == "/sign-in?next=/people"


def test_signing_out_ends_the_token(tablet: Tablet) -> None:
    token = tablet.client.cookies["twinleg"]

    tablet.send("/sign-in", "/sign-out")
    tablet.client.cookies.set("twinleg", token)

    assert tablet.get("/").status_code == 303


@pytest.mark.parametrize("target", ["//elsewhere.example", "http:elsewhere", "/\\elsewhere", "\\", "x"])
def test_a_way_back_never_leads_to_another_site(rig: Rig, target: str) -> None:
    person = rig.crew["driller"]

    answer = rig.tablet.post(
        f"/sign-in/{person.person_id}", {"pin": runner.PINS[person.name], "next": target}
    )

    assert answer.headers["location"] == "/"


def test_a_demonstration_says_so_on_every_page_and_lists_its_sign_ins(tmp_path: Path) -> None:
    site = open_site(tmp_path / "data", clock=Clock(), demo=True)
    tablet = Tablet(create_application(site, settings_of(tmp_path / "data")), {})
    typed = {"name": DEMO_CREW[0].name, "pin": DEMO_CREW[0].pin, "pin-again": DEMO_CREW[0].pin}
    tablet.post("/first-start", typed)

    sign_in = tablet.page("/sign-in").text()
    pages = [tablet.page(path).text() for path in ("/", "/people", "/display")]

    for person in DEMO_CREW:
        assert f"{person.name} {person.role} {person.pin}" in sign_in
    for text in (sign_in, *pages):
        assert "Demonstration: every name, number and place here is invented." in text
        assert "Its PINs are public" in text
    tablet.close()
    site.close()


def test_a_real_site_lists_no_pins(rig: Rig) -> None:
    text = rig.tablet.get("/sign-in").text

    assert "Demonstration" not in text
    assert "PINs are public" not in text
    assert not [pin for pin in runner.PINS.values() if pin in text]


def test_day_or_night_and_size_are_kept_by_the_browser(tablet: Tablet) -> None:
    tablet.post("/display", {"palette": "night"})
    tablet.post("/display", {"size": "8"})

    assert tablet.page("/").one("html").attributes["class"] == "night dots-8"


def test_a_palette_that_does_not_exist_is_not_kept(tablet: Tablet) -> None:
    answer = tablet.post("/display", {"palette": '"><script>'})

    assert "set-cookie" not in answer.headers
    tablet.client.cookies.set("palette", '"><b>')
    assert tablet.page("/").one("html").attributes["class"] == ""
