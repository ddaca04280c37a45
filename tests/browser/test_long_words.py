"""Words without a space, as long as a field takes: no page of the run grows wider than its tablet."""

import asyncio
from pathlib import Path

from app.domain.commands import AddNote, RaiseDeviation
from app.domain.events.deviations import Disposition
from app.services.runs import act, new_key
from app.services.site import Site
from tests.browser.conftest import LANDSCAPE, PORTRAIT, OpenTablet
from tests.browser.running_program import running_program
from tests.browser.shift import SUPERVISOR, Shift, at_camp, released_until
from tests.domain import job
from tests.services.camp import SINGLE, crew_of

LONG = "w" * 4000
PAGES = ("", "/deviations", "/log", "/hold", "/handover", "/close-out", "/paper", f"/steps/{job.FIRST_CLAMP}")


def test_no_page_is_wider_than_its_tablet_however_long_a_word_is(
    open_tablet: OpenTablet, tmp_path: Path
) -> None:
    data = tmp_path / "data"
    run_id = at_camp(data, with_long_words)

    with running_program(data) as server:
        for size in (LANDSCAPE, PORTRAIT):
            shift = Shift(open_tablet(size=size, base_url=server.address).new_page(), data, run_id)
            shift.sign_in(SUPERVISOR)
            wide = [path for path in PAGES if is_wide(shift, path)]
            assert wide == []


def with_long_words(site: Site) -> str:
    run_id = released_until(site, SINGLE, job.FIRST_CLAMP)
    for command in (
        RaiseDeviation(job.FIRST_CLAMP, LONG[:500], LONG, Disposition.REWORK),
        AddNote(job.FIRST_CLAMP, LONG),
    ):
        asyncio.run(act(site, run_id, command, crew_of(site)["supervisor"], new_key()))
    return run_id


def is_wide(shift: Shift, path: str) -> bool:
    shift.page.goto(shift.home + path)
    return bool(shift.page.evaluate("document.documentElement.scrollWidth > innerWidth"))
