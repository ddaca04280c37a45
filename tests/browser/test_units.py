"""A run in a real browser, by touch: its units are changed, and its paper is printed and entered."""

from pathlib import Path

from playwright.sync_api import Page, expect

from app.demo import demo_plan_text
from app.domain.operations import Operation
from app.domain.run import Run
from tests.browser.conftest import PORTRAIT, OpenTablet
from tests.browser.crew import SLOW
from tests.browser.paper import enter_from_paper, look_at_paper
from tests.browser.running_program import running_program
from tests.browser.shift import SUPERVISOR, Shift, at_camp, deck_work_done

LARGE_MM, DOTS_OF_A_MM = 15.0, 6.3


def test_two_taps_show_the_run_in_si_and_its_paper_is_looked_at_and_entered(
    open_tablet: OpenTablet, tmp_path: Path
) -> None:
    data = tmp_path / "data"
    run_id, run = at_camp(data, lambda site: deck_work_done(site, demo_plan_text("single"), but=1))
    with running_program(data) as server:
        shift = Shift(open_tablet(size=PORTRAIT, base_url=server.address).new_page(), data, run_id)
        shift.sign_in(SUPERVISOR)
        change_units_at(shift.page, f"{server.address}{shift.home}", run)
        write_in_a_field_drawn_larger(shift.page, f"{server.address}{shift.home}")
        look_at_paper(shift)
        enter_from_paper(shift)


def change_units_at(page: Page, address: str, run: Run) -> None:
    step = next(step for step in run.sheet.steps if step.operation is Operation.TORQUE)
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


def write_in_a_field_drawn_larger(page: Page, address: str) -> None:
    """Send a remark from a field whose corner was drawn, which the browser keeps as a style of its own."""
    page.goto(f"{address}/steps/1")
    page.locator("#note summary").tap()
    page.locator("#note-text").evaluate("field => { field.style.height = '200px' }")
    page.locator("#note-text").fill("seen")
    page.get_by_role("button", name="Save the note").tap()
    expect(page.get_by_text("seen", exact=True)).to_be_visible(timeout=SLOW)


def _offered(page: Page) -> list[str]:
    return page.locator("#unit-0 option").all_text_contents()
