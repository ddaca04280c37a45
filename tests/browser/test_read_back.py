"""What was typed comes back beside the button that records it: every value of it, whole, with its unit."""

from pathlib import Path

import pytest
from playwright.sync_api import expect

from app.domain.sheet import Step
from tests.browser.conftest import LANDSCAPE, PORTRAIT, OpenTablet
from tests.browser.running_program import running_program
from tests.browser.shift import SUPERVISOR, Shift, at_camp, released_until
from tests.domain import job
from tests.runner import good_readings
from tests.services.camp import SINGLE

# Of each line of the read-back: how far it reaches out of the read-back, in dots.
REACH_OUT = """() => {
  const box = document.getElementById("readback").getBoundingClientRect();
  return [...document.querySelectorAll("#readback span")].map((line) => {
    const its = line.getBoundingClientRect();
    return Math.max(its.bottom - box.bottom, its.right - box.right, line.scrollWidth - line.clientWidth, 0);
  });
}"""


def _with_most_readings() -> Step:
    return max(job.sheet().steps, key=lambda step: len(step.readings))


@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])
def test_every_value_of_a_step_is_read_back_whole(
    open_tablet: OpenTablet, tmp_path: Path, size: tuple[int, int]
) -> None:
    data = tmp_path / "data"
    run_id = at_camp(data, lambda site: released_until(site, SINGLE, 1))
    many, few = _with_most_readings(), job.sheet().steps[44]
    assert (len(many.readings), len(few.readings)) == (8, 6)

    with running_program(data) as server:
        shift = Shift(open_tablet(size=size, base_url=server.address).new_page(), data, run_id)
        shift.sign_in(SUPERVISOR)
        for step in (many, few):
            shift.page.goto(f"{shift.home}/steps/{step.number}")
            shift.type_readings(good_readings(shift.run, step), {})

            expect(shift.page.locator("#readback span")).to_have_count(len(step.readings))
            assert max(shift.page.evaluate(REACH_OUT)) < 1, shift.page.evaluate(REACH_OUT)
