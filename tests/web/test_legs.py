"""How the legs close, on the pages: of a plan, of a run with what was measured, and the joints chosen."""

import re
import threading
from collections.abc import Callable

from app.demo import demo_plan_text
from app.domain.operations import Operation
from app.domain.sheet import Lane, ReadingKind
from app.services.searches import Tell
from app.services.site import Site
from tests.web.conftest import Rig, Tablet
from tests.web.html_page import Element, form_to, read_page

TEXT = demo_plan_text("dual")


def _kept(tablet: Tablet, text: str) -> str:
    return tablet.send("/", "/plans", {"name": "kept", "text": text}).headers["location"]


def _searched(tablet: Tablet, path: str) -> Element:
    """Return the page that a search ends at."""
    page = tablet.page(path)
    while "Choosing joints" in page.one("h1").text():
        page = tablet.page(path)
    return page


def _searched_at_last(gate: threading.Event, news: str) -> Callable[[Tell], None]:
    def work(tell: Tell) -> None:
        tell(news)
        assert gate.wait(20)

    return work


async def _begun(site: Site, key: object, work: Callable[[Tell], None]) -> None:
    await site.searches.begun(key, work).has_ended(0.05)


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

    page = _searched(tablet, f"{path}/joints?system=lower")
    again = _searched(tablet, f"{path}/joints?system=lower")

    assert page.one("h1").text().startswith("Joints for the lower system")
    assert "from the rack" in page.one("table").text()
    assert "No other leg from the 6 joints is nearer to mid stroke" in page.text()
    assert page.one("section", **{"aria-labelledby": "others"}).all("li")
    assert again.text() == page.text()


def test_joints_that_are_another_leg_come_with_the_lines_to_write_into_the_plan(tablet: Tablet) -> None:
    changed = TEXT.replace('length = "31.38 ft"', 'length = "29.38 ft"', 1)

    page = _searched(tablet, f"{_kept(tablet, changed)}/joints?system=lower")
    as_planned = _searched(tablet, f"{_kept(tablet, TEXT)}/joints?system=lower")

    lines = page.one("pre").text()
    assert 'joints = [ { tag = "BL-01"' in " ".join(lines.split())
    assert '# in place of the [[rack]] of "lower bypass":' in lines
    assert as_planned.all("pre") == []


def test_a_choice_is_kept_as_a_plan_of_its_own_that_asks_for_those_joints(tablet: Tablet) -> None:
    path = _kept(tablet, TEXT.replace('length = "31.38 ft"', 'length = "29.38 ft"', 1))
    page = _searched(tablet, f"{path}/joints?system=lower")
    first = page.one("table").all("tr")[1].all("td")[0].text()

    answer = tablet.post("/plans", form_to(page, "/plans").values)
    kept = answer.headers["location"]
    legs = tablet.page(f"{kept}/legs").text()
    again = _searched(tablet, f"{kept}/joints?system=lower")

    assert answer.status_code == 303
    assert kept != path
    assert "The legs do not close" not in legs
    assert "That is the plan as it stands." in again.text()
    assert again.one("table").all("tr")[1].all("td")[0].text() == first
    assert "The legs do not close" in tablet.page(f"{path}/legs").text()


def test_while_a_search_goes_on_the_page_says_how_far_it_is_and_asks_again_by_itself(
    rig: Rig, tablet: Tablet
) -> None:
    path, gate = _kept(tablet, TEXT), threading.Event()
    address = f"{path}/joints?system=upper"
    other = _searched_at_last(gate, "")
    tablet.do(_begun(rig.site, "another", other))

    whole = tablet.page(address)
    part = read_page(tablet.get(address, htmx=True).text)
    gate.set()
    ended = _searched(tablet, address)

    assert "The search is about to begin." in whole.text()
    # Without JavaScript the browser loads the page again, with it htmx takes the place of the part.
    assert whole.one("noscript").one("meta").attributes["http-equiv"] == "refresh"
    again = part.one("div", id="page").attributes
    assert again["hx-get"] == address
    assert again["hx-trigger"].startswith("load")
    assert ended.one("h1").text().startswith("Joints for the upper system")
    assert "hx-get" not in ended.one("div", id="page").attributes


def test_the_best_leg_so_far_and_its_gap_are_shown_while_a_search_goes_on(rig: Rig, tablet: Tablet) -> None:
    path, gate = _kept(tablet, TEXT), threading.Event()
    news = "2 s, best so far BU-01, RU-03, 0.240 in from mid stroke; another may be nearer by up to 0.120 in"
    key = (TEXT, "upper", rig.site.clock().date())
    tablet.do(_begun(rig.site, key, _searched_at_last(gate, news)))

    page = tablet.page(f"{path}/joints?system=upper")
    gate.set()

    assert f"{news}." in page.text()


def test_a_run_keeps_what_is_in_the_hole_and_chooses_what_is_not_run_yet(rig: Rig, tablet: Tablet) -> None:
    floor = rig.run.sheet.lane(Lane.FLOOR)
    second = next(
        step.number for step in floor if step.operation is Operation.PICK_UP_JOINT and "BP-02" in step.parts
    )
    name = rig.run.plan.systems[0].name
    rig.do_deck_work()
    rig.do_floor_until(second)

    legs = tablet.page(f"{rig.home}/legs")
    page = _searched(tablet, f"{rig.home}/joints?system={name}")

    assert f"{rig.home}/joints?system={name}" in [link.attributes["href"] for link in legs.all("a")]
    assert "with all that is under it, stays: BP-01." in page.text()
    rows = [row.text() for row in page.one("table").all("tr")]
    assert "stays where it is" in rows[1]
    assert "in the plan" in rows[2]
    assert "raise a deviation at its step" in page.text()


def test_a_run_whose_leg_is_whole_offers_no_joints_and_moves_no_mark(rig: Rig, tablet: Tablet) -> None:
    sheet = rig.run.sheet
    lift = next(step.number for step in sheet.lane(Lane.FLOOR) if step.operation is Operation.BOLT)
    rig.do_deck_work()
    rig.do_floor_until(lift)

    legs = tablet.page(f"{rig.home}/legs")

    assert "All joints of this leg are in the hole." in legs.text()
    assert "Mark for mid stroke" not in legs.text()
    assert "/joints?" not in " ".join(link.attributes["href"] for link in legs.all("a"))


def test_a_run_has_no_joints_for_a_system_that_it_has_not(rig: Rig, tablet: Tablet) -> None:
    answer = tablet.get(f"{rig.home}/joints?system=middle")

    assert answer.status_code == 404


def test_a_rack_without_an_answer_says_on_the_page_what_is_short(tablet: Tablet) -> None:
    text = re.sub(r"\[\[rack\]\].*", "", TEXT, flags=re.DOTALL)
    path = _kept(tablet, text.replace('length = "31.38 ft"', 'length = "21.38 ft"', 1))

    page = _searched(tablet, f"{path}/joints?system=lower")

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
