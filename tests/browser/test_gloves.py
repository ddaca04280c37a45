"""Pages as a glove meets them, held across by day and upright at night: controls large, apart, legible."""

import asyncio
from pathlib import Path

from playwright.sync_api import Page

from app.domain.commands import Command, DraftHandover, RaiseDeviation, TalkHandoverThrough
from app.domain.events.deviations import Disposition
from app.services import rewriting
from app.services.rewriting import Signer
from app.services.runs import act, new_key, run_of
from app.services.site import Site
from tests import runner
from tests.browser.conftest import LANDSCAPE, PORTRAIT, OpenTablet
from tests.browser.paper import findings
from tests.browser.running_program import running_program
from tests.browser.shift import SUPERVISOR, Shift, at_camp, released_until
from tests.domain import job
from tests.services.camp import SINGLE, crew_of

LATE = job.LINE_TEST + 3  # where the test of the line stands that was put off
MM = 6.3
MEASURES = [15 * MM, 3 * MM - 0.1]  # the smallest control and gap, in dots; edges lie between dots
HELD = ((LANDSCAPE, "day"), (PORTRAIT, "night"))
TOO_SMALL_OR_NEAR = """([smallest, nearest]) => {
  const fields = "input:not([type=hidden], [type=checkbox], [type=radio])";
  const controls = [...document.querySelectorAll(
    `main :is(a.button, button, summary, select, label.tick, ${fields})`
  )].filter((one) => one.checkVisibility() && !one.closest(".action-bar"));
  const name = (one) => one.textContent.trim().slice(0, 40) || one.id;
  const apart = (a, b) => Math.hypot(
    Math.max(0, Math.max(a.left, b.left) - Math.min(a.right, b.right)),
    Math.max(0, Math.max(a.top, b.top) - Math.min(a.bottom, b.bottom)),
  );
  return controls.flatMap((one, at) => {
    const box = one.getBoundingClientRect();
    const near = controls.slice(at + 1).filter((other) =>
      !one.contains(other) && !other.contains(one) && apart(box, other.getBoundingClientRect()) < nearest);
    const small = box.height < smallest ? [`${name(one)} is small`] : [];
    return [...small, ...near.map((other) => `${name(one)} is near ${name(other)}`)];
  });
}"""


def test_controls_are_large_and_apart_where_a_step_or_a_serial_is_changed(
    open_tablet: OpenTablet, tmp_path: Path
) -> None:
    data = tmp_path / "data"
    run_id, inspected = at_camp(data, with_a_step_put_off)
    with running_program(data) as server:
        for size, palette in HELD:
            shift = Shift(open_tablet(size=size, base_url=server.address).new_page(), data, run_id)
            shift.sign_in(SUPERVISOR)
            shown = [
                measured(shift, palette, f"/steps/{LATE}", "#set-aside summary"),
                measured(shift, palette, f"/steps/{LATE}/bring-forward"),
                measured(shift, palette, f"/steps/{LATE}/defer/{LATE + 3}"),
                measured(shift, palette, f"/steps/{inspected}", "summary:has-text('Correct serial')"),
                measured(shift, palette, "/swaps?place=MTR-1+base"),
                measured(shift, palette, "/replan/none"),
            ]
            assert shown == [[]] * len(shown)


def test_controls_are_large_and_apart_where_a_handover_goes_on(
    open_tablet: OpenTablet, tmp_path: Path
) -> None:
    data = tmp_path / "data"
    run_id = at_camp(data, with_a_handover)
    with running_program(data) as server:
        for size, palette in HELD:
            shift = Shift(open_tablet(size=size, base_url=server.address).new_page(), data, run_id)
            shift.sign_in(SUPERVISOR)
            assert measured(shift, palette, "/handover") == []
            assert shift.page.get_by_text("This came since it was talked through").is_visible()


def measured(shift: Shift, palette: str, path: str, opened: str = "") -> list[str]:
    """Return what is wrong on a page of the run, with a part of it opened."""
    page: Page = shift.page
    page.context.add_cookies([{"name": "palette", "value": palette, "url": page.url}])
    page.goto(shift.home + path)
    if opened:
        page.locator(opened).tap()
    wrong: list[str] = page.evaluate(TOO_SMALL_OR_NEAR, MEASURES)
    return [f"{path}: {words}" for words in (*wrong, *findings(page))]


def with_a_step_put_off(site: Site) -> tuple[str, int]:
    run_id = released_until(site, SINGLE, job.LINE_TEST)
    supervisor = crew_of(site)["supervisor"]
    shown = rewriting.later(run_of(site, run_id), job.LINE_TEST, LATE + 1).shown
    signer = Signer(supervisor.person_id, runner.PINS[supervisor.name], shown, new_key())
    asyncio.run(rewriting.defer(site, run_id, job.LINE_TEST, LATE + 1, reason="no pump", signer=signer))
    return run_id, job.MEASURE_GAUGE


def with_a_handover(site: Site) -> str:
    run_id = released_until(site, SINGLE, job.SECOND_CLAMP)
    leader = run_of(site, run_id).in_charge

    def tell(command: Command) -> None:
        asyncio.run(act(site, run_id, command, leader, new_key()))

    tell(DraftHandover("Slips sit deep."))
    drafted = run_of(site, run_id).handing_over
    assert drafted is not None
    tell(TalkHandoverThrough(drafted.drafted.open_items))
    tell(RaiseDeviation(job.FIRST_CLAMP, "torqued low", "thread worn", Disposition.REWORK))
    return run_id
