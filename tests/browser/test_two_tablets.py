"""Two tablets on one run in real browsers: each sees what the other does and keeps what is typed on it."""

import asyncio
import re
import shutil
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from dataclasses import dataclass, replace
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from app.demo import demo_plan_text
from app.domain.sheet import Lane, ReadingKind, Step
from app.services.runs import run_of
from app.services.site import open_site
from tests import runner
from tests.browser.conftest import OpenTablet
from tests.browser.crew import SLOW, Crew, crew_at
from tests.browser.running_program import RunningProgram, free_port, running_program

PLAN = demo_plan_text("single")
SUPERVISOR, HAND = runner.CREW[0], runner.CREW[3]  # the torque is for the floor crew
MOST_MS_UNTIL_SAID = 8_000


@dataclass(frozen=True, slots=True)
class Begun:
    """A data folder, its run, and the floor step that it stands before."""

    data: Path
    run_id: str
    number: int


@pytest.fixture
def begun(begun_once: Begun, tmp_path: Path) -> Begun:
    """Return a run that stands one step before the first torque on the floor, and nobody else's."""
    return replace(begun_once, data=shutil.copytree(begun_once.data, tmp_path / "data"))


@pytest.fixture(scope="module")
def begun_once(tmp_path_factory: pytest.TempPathFactory) -> Begun:
    """Return such a run, to be copied."""
    # In a thread of its own: the browser's loop is the running one here.
    with ThreadPoolExecutor(1) as aside:
        return aside.submit(_begin, tmp_path_factory.mktemp("two") / "data").result()


def test_two_tablets_see_each_other_and_what_is_stale_is_refused_and_keeps_its_text(
    begun: Begun, open_tablet: OpenTablet
) -> None:
    with running_program(begun.data) as program:
        one, other = (_at_the_run(open_tablet, program, begun, person) for person in (SUPERVISOR, HAND))
        before, torque = one.run.sheet.steps[begun.number - 2 : begun.number]
        loaded = _loaded(other.page)

        expect(one.page.locator("#here")).to_contain_text(f"is on step {before.number}", timeout=SLOW)
        one.done(before)
        expect(other.page.locator(".step-number")).to_have_text(f"Step {torque.number}", timeout=SLOW)
        assert _loaded(other.page) == loaded

        other.page.locator("#value-0").fill("501")
        one.done(torque)
        news = other.page.locator("#news")
        expect(news.get_by_role("link", name="Show")).to_be_visible(timeout=SLOW)
        expect(news).to_contain_text(f"Changed by {runner.CREW[0][0]}")
        expect(other.page.locator("#value-0")).to_have_value("501")
        expect(other.page.locator(".step-number")).to_have_text(f"Step {torque.number}")

        other.page.locator("#done").tap()
        changes = other.page.locator(".changes")
        expect(changes).to_contain_text(f"Step {torque.number} done.", timeout=SLOW)
        expect(changes).to_contain_text(runner.CREW[0][0])
        expect(other.page.locator(".banner")).to_contain_text("You had typed: 501.")


def test_a_page_says_not_recorded_when_the_server_is_killed_and_goes_on_when_it_is_back(
    begun: Begun, open_tablet: OpenTablet
) -> None:
    port = free_port()
    with running_program(begun.data, port) as program:
        crew = _at_the_run(open_tablet, program, begun, runner.CREW[0])
        page = crew.page
        step = _shown(crew)
        page.locator(".row a[href$='#note']").tap()
        page.locator("#note-text").fill("wind from the north")

        program.process.kill()
        expect(page.locator("#not-recorded")).to_be_visible(timeout=MOST_MS_UNTIL_SAID)
        expect(page.locator("#not-recorded")).to_contain_text("NOT RECORDED")
        expect(page.locator("#note-text")).to_have_value("wind from the north")

    with running_program(begun.data, port):
        expect(page.locator("#not-recorded")).to_be_hidden(timeout=SLOW)
        page.get_by_role("button", name="Save the note").tap()
        expect(page.locator("blockquote")).to_have_text("wind from the north", timeout=SLOW)
        page.goto(f"/runs/{begun.run_id}")
        crew.done(step)
        expect(page.locator(".beside")).to_contain_text(f"Step {step.number}:", timeout=SLOW)


def _at_the_run(
    open_tablet: OpenTablet, program: RunningProgram, begun: Begun, person: tuple[str, str, str]
) -> Crew:
    """Return somebody at a tablet of his own, on the page of the run."""
    crew = crew_at(open_tablet(base_url=program.address).new_page(), PLAN)
    name, _, pin = person
    crew.sign_in(name, pin)
    crew.page.goto(f"/runs/{begun.run_id}")
    expect(crew.page.locator(".step-number")).to_be_visible(timeout=SLOW)
    return crew


def _begin(data: Path) -> Begun:
    with closing(open_site(data)) as site:
        crew = runner.add_crew(site)
        run_id = asyncio.run(runner.release(site, PLAN, crew["supervisor"]))
        sheet = run_of(site, run_id).sheet
        torque = next(step for step in sheet.lane(Lane.FLOOR) if _is_torqued(step))
        for step in (*sheet.lane(Lane.DECK), *sheet.lane(Lane.FLOOR)):
            if step.lane is Lane.DECK or step.number < torque.number - 1:
                asyncio.run(runner.finish(site, run_id, step, crew))
        return Begun(data, run_id, torque.number)


def _is_torqued(step: Step) -> bool:
    return any(reading.kind is ReadingKind.TORQUE for reading in step.readings)


def _shown(crew: Crew) -> Step:
    """Return the step that the page shows."""
    [number] = re.findall(r"\d+", crew.page.locator(".step-number").inner_text())
    return crew.run.sheet.steps[int(number) - 1]


def _loaded(page: Page) -> float:
    """Return when the page was loaded; a page that only changed was not loaded again."""
    at: float = page.evaluate("performance.timeOrigin")
    return at
