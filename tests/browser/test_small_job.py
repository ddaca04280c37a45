"""The small job, run entirely by touch on a tablet: from the release to a verified record."""

import subprocess
import sys
from pathlib import Path

from playwright.sync_api import Page, expect

from app.demo import demo_plan_text
from tests.browser.crew import SLOW, crew_at
from tests.runner import CREW


def test_the_small_job_is_run_by_touch_from_release_to_a_verified_record(
    tablet: Page, tmp_path: Path
) -> None:
    text = demo_plan_text("single")
    crew = crew_at(tablet, text)
    last = len(crew.run.sheet.steps)

    crew.first_start()
    crew.send_plan(text)
    address = crew.release(CREW[0][2])
    crew.do_deck_work(address, until=last)
    crew.do_floor_work(address, until=last)
    crew.close(address)
    crew.write_record()

    for kind in ("json", "pdf"):
        tablet.goto(f"{address}/record")
        link = tablet.locator(f'a[href$="/record/{kind}"]')
        expect(link).to_be_visible(timeout=SLOW)
        with tablet.expect_download() as started:
            link.tap()
        kept = tmp_path / f"record.{kind}"
        started.value.save_as(kept)
        # The command a stranger would use; it has no part in what the server knows.
        told = subprocess.run(
            [sys.executable, "-m", "app", "verify", str(kept)], capture_output=True, text=True, check=False
        )
        assert told.returncode == 0, told.stdout + told.stderr
