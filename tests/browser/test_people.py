"""People at a tablet: one goes, another comes, and what was half typed stays; glove-sized on each page."""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing

import pytest
from playwright.sync_api import Page, expect

from app.demo import demo_plan_text
from app.services.site import open_site
from tests.browser.conftest import LANDSCAPE, PORTRAIT, OpenTablet
from tests.browser.crew import SLOW, Crew, crew_at
from tests.browser.running_program import RunningProgram, running_program
from tests.runner import CREW, PINS, add_crew, release
from tests.services.camp import now

CONTROLS = "#page button:visible, #page a.button:visible, #page input:visible"
SMALLEST = 15 * 6.3  # dots: 15 mm at the usual size
LEAD, DRILLER = "Test Supervisor", "Test Driller"
SINGLE = demo_plan_text("single")


@pytest.fixture(scope="module")
def manned(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[RunningProgram, str]]:
    """The real program on a site with its crew and one released run, and the address of the run."""
    data = tmp_path_factory.mktemp("manned") / "data"

    def prepare() -> str:
        with closing(open_site(data)) as site:
            return now(release(site, SINGLE, add_crew(site)["supervisor"]))

    # Playwright's loop is the running one in this thread.
    with ThreadPoolExecutor(1) as aside:
        run_id = aside.submit(prepare).result()
    with running_program(data) as program:
        yield program, f"/runs/{run_id}"


def signed_in(open_tablet: OpenTablet, program: RunningProgram) -> Crew:
    """Return the supervisor at a tablet."""
    crew = crew_at(open_tablet(base_url=program.address).new_page(), SINGLE)
    crew.sign_in(LEAD, PINS[LEAD])
    return crew


def test_another_person_comes_with_two_taps_and_a_pin_and_finds_what_was_half_typed(
    open_tablet: OpenTablet, manned: tuple[RunningProgram, str]
) -> None:
    program, home = manned
    crew = signed_in(open_tablet, program)
    number = next(step.number for step in crew.run.sheet.steps if step.readings)
    crew.page.goto(f"{home}/steps/{number}")
    crew.page.locator("#value-0").fill("12.")

    crew.page.locator("a.who").tap()
    crew.page.locator(".names a", has_text=DRILLER).tap()
    for digit in PINS[DRILLER]:
        crew.page.locator(f'[data-digit="{digit}"]').tap()
    crew.tap_button("Sign in")

    expect(crew.page.locator("a.who")).to_contain_text(DRILLER, timeout=SLOW)
    expect(crew.page.locator("#value-0")).to_have_value("12.")
    expect(crew.page.locator(".step-number")).to_have_text(f"Step {number}")


def test_who_was_signed_out_meanwhile_signs_in_and_finds_what_he_was_about_to_send(
    open_tablet: OpenTablet, manned: tuple[RunningProgram, str]
) -> None:
    program, home = manned
    crew = signed_in(open_tablet, program)
    crew.page.goto(f"{home}/steps/1")
    note = crew.page.locator("textarea[name=text]").first
    crew.page.locator("details", has=note).locator("summary").first.tap()
    note.fill("the box is wo")
    crew.page.context.clear_cookies()

    crew.page.locator("form", has=note).get_by_role("button").first.tap()
    crew.page.locator(".banner").get_by_role("link", name="Sign in").tap(timeout=SLOW)
    crew.page.locator(".names a", has_text=LEAD).tap()
    crew.fill("PIN", PINS[LEAD])
    crew.tap_button("Sign in")

    crew.page.wait_for_url(f"**{home}/steps/1", timeout=SLOW)
    expect(crew.page.locator("textarea[name=text]").first).to_have_value("the box is wo")


def test_what_was_sent_is_not_typed_again_for_the_next_one(
    open_tablet: OpenTablet, manned: tuple[RunningProgram, str]
) -> None:
    program, _ = manned
    page = signed_in(open_tablet, program).page
    page.goto("/people")
    for label, text in (("Name", "New Hand"), ("Role", "floor crew"), ("Your PIN", PINS[LEAD])):
        page.get_by_label(label, exact=True).fill(text)
    page.get_by_role("button", name="Add", exact=True).tap()
    added = page.get_by_role("link", name="New Hand floor crew")
    expect(added).to_contain_text("has no PIN yet", timeout=SLOW)

    page.reload()
    expect(page.get_by_label("Name", exact=True)).to_have_value("")
    added.tap()
    hand_over(page, "new here")
    page.goto("/")

    crew = Crew(page, crew_at(page, SINGLE).run)
    crew.sign_in(LEAD, PINS[LEAD])
    page.goto("/people")
    page.get_by_role("link", name="New Hand floor crew").tap()
    expect(page.locator('form[action$="/pin"]').get_by_label("Why")).to_have_value("")


def hand_over(page: Page, why: str) -> None:
    """Hand the tablet to the person whose page is open."""
    form = page.locator('form[action$="/pin"]')
    form.get_by_label("Why").fill(why)
    form.get_by_label("Your PIN").fill(PINS[LEAD])
    form.get_by_role("button").tap()
    page.wait_for_url("**/choose-pin", timeout=SLOW)


def test_a_glove_meets_every_control_of_the_pages_of_people(
    open_tablet: OpenTablet, manned: tuple[RunningProgram, str]
) -> None:
    page = signed_in(open_tablet, manned[0]).page
    page.goto("/people")
    one = page.get_by_role("link", name=f"{CREW[3][0]} {CREW[3][1]}").get_attribute("href")
    assert one is not None

    for path in ("/people", one, "/people/changes", "/own-pin"):
        page.goto(path)
        glove_sized(page)
    page.goto(one)
    hand_over(page, "forgotten")
    glove_sized(page)


def glove_sized(page: Page) -> None:
    """Pass where, held either way, each control is high enough and nothing is wider than the tablet."""
    for width, height in (PORTRAIT, LANDSCAPE):
        page.set_viewport_size({"width": width, "height": height})
        controls = page.locator(CONTROLS).all()
        assert controls, page.url
        for control in controls:
            box = control.bounding_box()
            assert box is not None
            assert box["height"] >= SMALLEST - 0.5, (page.url, control.inner_text())
        assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"), page.url
