"""The opening stages of the dual job's floor work, by touch on a tablet held upright."""

from pathlib import Path

from playwright.sync_api import expect

from app.demo import demo_plan_text
from app.domain.operations import Operation
from tests.browser.conftest import PORTRAIT, OpenTablet
from tests.browser.crew import SLOW, crew_at
from tests.browser.running_program import running_program
from tests.browser.shift import at_camp, deck_work_done
from tests.runner import CREW

DECK_BY_TOUCH = 5  # the small job does all of its deck work by touch


def test_the_dual_job_runs_from_its_deck_work_to_the_first_motor_on_the_table(
    open_tablet: OpenTablet, tmp_path: Path
) -> None:
    text, data = demo_plan_text("dual"), tmp_path / "data"
    run_id, run = at_camp(data, lambda site: deck_work_done(site, text, but=DECK_BY_TOUCH))
    landed = next(step for step in run.sheet.steps if step.operation is Operation.LAND_ON_TABLE)

    with running_program(data) as server:
        page = open_tablet(size=PORTRAIT, base_url=server.address).new_page()
        crew = crew_at(page, text)
        crew.run = run
        address = f"{server.address}/runs/{run_id}"
        crew.sign_in(CREW[0][0], CREW[0][2])
        crew.do_deck_work(address, until=landed.number)
        crew.do_floor_work(address, until=landed.number)

        expect(page.locator(".step-number")).to_have_text(f"Step {landed.number + 1}", timeout=SLOW)
        expect(page.locator(".beside")).to_contain_text("lands on the table")
