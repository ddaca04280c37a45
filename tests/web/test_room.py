"""Room in the hole: every section in a table, one of them drawn, and a plan that cannot be measured."""

import re

from app.demo import demo_plan_text
from app.services.plans import all_plans
from tests.web.conftest import Rig, Tablet
from tests.web.html_page import read_page

TEXT = demo_plan_text("single")


def _address(rig: Rig) -> str:
    return f"/plans/{all_plans(rig.site)[0].id}/room"


def test_the_page_of_a_plan_leads_to_its_sections(rig: Rig, tablet: Tablet) -> None:
    address = _address(rig)

    plan = tablet.page(address.removesuffix("/room"))

    assert len(plan.all("a", href=address)) == 1
    assert "Room in the hole" in tablet.page(address).one("h1").text()


def test_the_tightest_section_is_drawn_until_another_is_chosen(rig: Rig, tablet: Tablet) -> None:
    address = _address(rig)
    page = tablet.page(address)
    drawn, current = page.one("h2", id="drawn").text(), page.one("tr", class_="row-current")

    other = tablet.page(f"{address}?section=1")

    assert current.text().startswith(drawn)
    assert other.one("h2", id="drawn").text() != drawn
    for shown in (page, other):
        picture = shown.one("svg", class_="section-picture")
        assert picture.attributes["aria-label"].startswith(shown.one("h2", id="drawn").text())


def test_each_section_has_its_width_what_is_left_and_what_governs(rig: Rig, tablet: Tablet) -> None:
    table = tablet.page(_address(rig)).one("table", class_="sections")
    rows = table.all("tr")[1:]

    assert len(rows) > 10
    motor = next(row for row in rows if " beside the " in row.text() and "MTR" in row.text())
    assert "8.275 in" in motor.text()
    assert "0.250 in fits" in motor.text()


def test_a_number_beyond_the_table_shows_the_tightest(rig: Rig, tablet: Tablet) -> None:
    address = _address(rig)

    drawn = {tablet.page(f"{address}?section={number}").one("h2", id="drawn").text() for number in (0, 999)}

    assert len(drawn) == 1


def test_a_word_in_the_place_of_a_number_finds_no_page(rig: Rig, tablet: Tablet) -> None:
    assert tablet.get(f"{_address(rig)}?section=motor").status_code == 404


def test_a_plan_without_its_shape_says_what_stands_in_the_way(rig: Rig, tablet: Tablet) -> None:
    shapeless = re.sub(r"(?s)\[systems\.entry_guide\].*?\n\n", "", TEXT, count=1)
    sent = tablet.send("/", "/plans", {"name": "without entry guide", "text": shapeless})

    answer = tablet.get(f"{sent.headers['location']}/room")

    assert answer.status_code == 422
    assert "cannot be measured yet" in read_page(answer.text).text()
