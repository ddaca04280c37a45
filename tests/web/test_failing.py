"""When something goes wrong that nobody typed: said loudly, nothing looks done, no inside is shown."""

import logging

import pytest

from app.services.plans import all_plans
from app.web.errors import STATUSES, status_of
from tests.web.conftest import Rig, Tablet
from tests.web.html_page import form_to, read_page
from tests.web.test_rewriting import at_work, send_back


def test_what_the_disk_does_not_take_is_said_loudly_and_the_form_stays(rig: Rig, tablet: Tablet) -> None:
    number = next(step.number for step in rig.run.sheet.steps if len(step.readings) == 2)
    values = rig.good_values(number)
    path = f"{rig.home}/steps/{number}"
    rig.site.database.writer.close()

    answer = tablet.post(f"{path}/done", values, htmx=True)

    page = read_page(answer.text)
    assert answer.status_code == 503
    assert "NOT RECORDED" in page.text()
    assert form_to(page, f"{path}/done").values["value-0"] == values["value-0"]
    assert not rig.run.is_done(number)


def test_what_nobody_foresaw_is_logged_under_the_number_that_is_shown(
    tablet: Tablet, caplog: pytest.LogCaptureFixture
) -> None:
    @tablet.application.get("/broken")
    async def broken() -> None:
        raise ZeroDivisionError("the inside of the program")

    with caplog.at_level(logging.ERROR, logger="twinleg"):
        answer = tablet.get("/broken")

    number = answer.text.rstrip(".").rpartition(" ")[2]
    assert answer.status_code == 500
    assert "the inside of the program" not in answer.text
    assert "nothing was recorded" in answer.text
    assert any(number in record.getMessage() for record in caplog.records)


def test_an_address_where_nothing_is_says_what_to_do(tablet: Tablet) -> None:
    answer = tablet.get("/nowhere")

    assert answer.status_code == 404
    assert "Go back, or start from the list of runs" in answer.text


def test_a_run_that_is_not_kept_is_not_found(tablet: Tablet) -> None:
    for path in ("", "/steps/1", "/sheet", "/log", "/record", "/close-out"):
        answer = tablet.get(f"/runs/20200101-none{path}")

        assert answer.status_code == 404, path
        assert "There is no run" in answer.text, path


def test_each_error_of_the_table_has_the_status_of_its_row() -> None:
    for place, (kind, _) in enumerate(STATUSES):
        earlier = [other for other, _ in STATUSES[:place]]

        assert not issubclass(kind, tuple(earlier)) if earlier else True, kind

    assert status_of(ZeroDivisionError()) == 500


def test_a_static_file_is_kept_for_ever_under_an_address_of_its_content(tablet: Tablet) -> None:
    page = tablet.page("/sign-in")
    address = page.one("link", rel="stylesheet").attributes["href"]

    packed = tablet.ask("GET", address, headers={"Accept-Encoding": "gzip"})
    plain = tablet.ask("GET", address, headers={"Accept-Encoding": "identity"})

    assert packed.headers["cache-control"] == "public, max-age=31536000, immutable"
    assert packed.headers["content-encoding"] == "gzip"
    assert "content-encoding" not in plain.headers
    assert packed.text == plain.text
    assert tablet.get("/static/000000000000/app.css").status_code == 404
    assert tablet.get("/static/../pyproject.toml").status_code == 404


def test_what_a_page_of_a_run_refuses_leads_back_to_the_run(rig: Rig, tablet: Tablet) -> None:
    first = at_work(rig) - 3
    assert send_back(rig, tablet, first).status_code == 303
    plan = all_plans(rig.site)[0].id

    answer = tablet.get(f"{rig.home}/replan/{plan}")

    page = read_page(answer.text)
    ways = [link.attributes["href"] for link in page.one("p", class_="row").all("a")]
    assert answer.status_code == 409
    assert "on its way back" in page.text()
    assert ways == [rig.home, "/"]


@pytest.mark.parametrize("path", ["/runs/nothing", "/runs/nothing/replan/x", "/plans/nothing", "/nowhere"])
def test_where_there_is_no_run_it_leads_to_the_list(tablet: Tablet, path: str) -> None:
    page = read_page(tablet.get(path).text)

    assert [link.attributes["href"] for link in page.one("p", class_="row").all("a")] == ["/"]


def test_nobody_is_led_back_to_a_run_that_he_cannot_open(rig: Rig) -> None:
    answer = rig.tablet.post(f"{rig.home}/steps/9999/done")

    assert f'href="{rig.home}"' not in answer.text
