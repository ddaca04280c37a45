"""The opening stages of the dual job, by touch on a tablet held upright."""

from playwright.sync_api import expect

from app.demo import demo_plan_text
from app.domain.operations import Operation
from tests.browser.conftest import PORTRAIT, OpenTablet
from tests.browser.crew import SLOW, crew_at
from tests.browser.running_program import RunningProgram
from tests.runner import CREW


def test_the_dual_job_runs_from_its_deck_work_to_the_first_motor_on_the_table(
    open_tablet: OpenTablet, server: RunningProgram
) -> None:
    page = open_tablet(size=PORTRAIT, base_url=server.address).new_page()
    text = demo_plan_text("dual")
    crew = crew_at(page, text)
    floor = [step for step in crew.run.sheet.steps if step.operation is Operation.LAND_ON_TABLE]
    deck = max(number for step in crew.run.sheet.steps[: floor[0].number] for number in step.needs)

    crew.first_start()
    crew.send_plan(text)
    address = crew.release(CREW[0][2])
    crew.do_deck_work(address, until=deck)
    crew.do_floor_work(address, until=floor[0].number)

    expect(page.locator(".step-number")).to_have_text(f"Step {floor[0].number + 1}", timeout=SLOW)
    expect(page.locator(".beside")).to_contain_text("lands on the table")
