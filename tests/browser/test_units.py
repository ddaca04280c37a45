"""Units in a real browser, by touch: two taps change the limits, and a typed value keeps its unit."""

from playwright.sync_api import Page, expect

from app.demo import demo_plan_text
from app.domain.operations import Operation
from tests.browser.conftest import PORTRAIT, OpenTablet
from tests.browser.crew import SLOW, crew_at
from tests.browser.running_program import RunningProgram
from tests.runner import CREW

LARGE_MM, DOTS_OF_A_MM = 15.0, 6.3


def test_two_taps_show_the_run_in_si_and_a_half_typed_reading_keeps_its_unit(
    open_tablet: OpenTablet, server: RunningProgram
) -> None:
    page = open_tablet(size=PORTRAIT, base_url=server.address).new_page()
    text = demo_plan_text("single")
    crew = crew_at(page, text)
    crew.first_start()
    crew.send_plan(text)
    address = crew.release(CREW[0][2])
    step = next(step for step in crew.run.sheet.steps if step.operation is Operation.TORQUE)
    page.goto(f"{address}/steps/{step.number}")
    page.locator("#value-0").fill("500")

    page.locator(".menu summary").tap()
    button = page.locator(".units button", has_text="N·m")
    box = button.bounding_box()
    button.tap()

    expect(page.locator("#window-0")).to_contain_text("450 ft·lbf (611 N·m)", timeout=SLOW)
    assert box is not None
    assert min(box["width"], box["height"]) >= LARGE_MM * DOTS_OF_A_MM
    assert page.url == f"{address}/steps/{step.number}"
    expect(page.locator("#value-0")).to_have_value("500")
    expect(page.locator("#unit-0")).to_have_value("ft*lbf")
    assert _offered(page)[0] == "N·m"


def _offered(page: Page) -> list[str]:
    return page.locator("#unit-0 option").all_text_contents()
