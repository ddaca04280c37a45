"""How the legs close, on the pages: of a plan, of a run with what was measured, and the joints chosen."""

import re

from app.demo import demo_plan_text
from app.domain.sheet import ReadingKind
from tests.web.conftest import Rig, Tablet

TEXT = demo_plan_text("dual")


def _kept(tablet: Tablet, text: str) -> str:
    return tablet.send("/", "/plans", {"name": "kept", "text": text}).headers["location"]


def test_a_plan_leads_to_how_its_legs_close_and_on_to_the_choice_of_joints(tablet: Tablet) -> None:
    path = _kept(tablet, TEXT)
    links = [link.attributes["href"] for link in tablet.page(path).all("a")]

    legs = tablet.page(f"{path}/legs")
    further = [link.attributes["href"] for link in legs.all("a")]

    assert f"{path}/legs" in links
    assert f"{path}/joints?system=upper" in further
    assert len(legs.all("svg", class_="stroke-bar")) == 2
    assert "The legs close. The swivel stands at mid stroke" in legs.text()
    assert "each within 0.01 ft (common practice)" in legs.text()
    assert "6.21 ft below the top of BU-01" in legs.text()


def test_the_picture_of_the_stroke_says_in_words_what_it_shows(tablet: Tablet) -> None:
    legs = tablet.page(f"{_kept(tablet, TEXT)}/legs")

    picture = legs.all("svg", class_="stroke-bar")[0]
    at = picture.one("line", class_="stroke-at").attributes
    assert (at["x1"], at["x2"]) == ("500", "500")
    assert "Swivel comes out 6.000 in; free are 1.500 in to 10.500 in" in picture.attributes["aria-label"]


def test_legs_that_do_not_close_are_drawn_at_the_end_of_the_stroke(tablet: Tablet) -> None:
    path = _kept(tablet, TEXT.replace('length = "31.38 ft"', 'length = "29.38 ft"', 1))

    legs = tablet.page(f"{path}/legs")

    picture = legs.all("svg", class_="stroke-bar")[0]
    assert "The legs do not close. For mid stroke move the mark 2.00 ft down on BL-01" in legs.text()
    assert picture.one("line", class_="stroke-at").attributes["x1"] == "1000"


def test_the_joints_chosen_are_listed_with_why_and_the_runners_up(tablet: Tablet) -> None:
    path = _kept(tablet, TEXT.replace('length = "31.38 ft"', 'length = "29.38 ft"', 1))

    page = tablet.page(f"{path}/joints?system=lower")
    again = tablet.page(f"{path}/joints?system=lower")

    assert page.one("h1").text().startswith("Joints for the lower system")
    assert "from the rack" in page.one("table").text()
    assert "No other leg from the 6 joints is nearer to mid stroke" in page.text()
    assert page.one("section", **{"aria-labelledby": "others"}).all("li")
    assert again.text() == page.text()


def test_a_rack_without_an_answer_says_on_the_page_what_is_short(tablet: Tablet) -> None:
    text = re.sub(r"\[\[rack\]\].*", "", TEXT, flags=re.DOTALL)
    path = _kept(tablet, text.replace('length = "31.38 ft"', 'length = "21.38 ft"', 1))

    page = tablet.page(f"{path}/joints?system=lower")

    assert "No joints close these legs" in page.text()
    # The joint with the mark takes the place of the short one, which bears the mark then.
    assert "The leg stays 8.90 ft too short" in page.text()
    assert page.all("table") == []


def test_a_system_that_is_not_there_is_not_found(tablet: Tablet) -> None:
    answer = tablet.get(f"{_kept(tablet, TEXT)}/joints?system=middle")

    assert answer.status_code == 404
    assert "Choose one of: lower, upper." in answer.text


def test_a_plan_that_is_not_whole_says_why_there_are_no_legs(tablet: Tablet) -> None:
    path = _kept(tablet, TEXT.replace('at = "MTR-L1"', 'at = "MTR-L9"', 1))

    answer = tablet.get(f"{path}/legs")

    assert answer.status_code == 422
    assert "The legs cannot be worked out yet." in answer.text


def test_a_run_closes_by_what_was_measured_so_far(rig: Rig, tablet: Tablet) -> None:
    before = tablet.page(f"{rig.home}/legs").text()
    step = next(
        step
        for step in rig.run.sheet.steps
        if any(wanted.kind is ReadingKind.LENGTH and wanted.item == "BP-02" for wanted in step.readings)
    )
    values = rig.good_values(step.number)
    at = next(at for at, wanted in enumerate(step.readings) if wanted.kind is ReadingKind.LENGTH)
    sent = {**values, f"value-{at}": "31.30", f"unit-{at}": "ft"}

    answer = tablet.post(f"{rig.home}/steps/{step.number}/done", sent)
    assert answer.status_code == 303, answer.text
    after = tablet.page(f"{rig.home}/legs").text()

    assert "0 of them measured" in before
    assert "1 of them measured" in after
    assert "31.30 ft, measured" in after
