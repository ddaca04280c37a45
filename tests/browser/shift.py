"""One shift at two tablets: what people tap on a day on which little goes by the plan."""

import asyncio
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import quote

from playwright.sync_api import Page, expect

from app.domain.apply import fold
from app.domain.commands import Entered
from app.domain.cross_check import asked_again
from app.domain.events.event import BRINGS_A_SHEET
from app.domain.run import Run
from app.domain.sheet import Step
from app.records.event_json import read_entry
from app.services.runs import log_of, run_of
from app.services.site import Site, open_site
from app.services.tries import Present
from tests import runner
from tests.browser.crew import SLOW
from tests.runner import CREW, good_readings
from tests.services.camp import crew_of

RELIEF, RELIEF_PIN = "Rita Relief", "518264"
PINS = {**runner.PINS, RELIEF: RELIEF_PIN}
SUPERVISOR = CREW[0][0]
Doing = Callable[[Site], Any]


def at_camp(data: Path, doing: Doing) -> Any:
    """Return what use cases return that are done on a data folder while no server holds it."""

    def done() -> Any:
        site = open_site(data)
        try:
            return doing(site)
        finally:
            site.close()

    # In a thread of its own: the browser's loop is the running one here.
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(done).result()


def released_until(site: Site, text: str, number: int) -> str:
    """Return the id of a run of a plan, released, with everything before a floor step done."""
    crew = runner.add_crew(site)
    by = Present(crew["supervisor"])
    asyncio.run(runner.add_one(site, by, RELIEF, "supervisor", pin=RELIEF_PIN))
    run_id = asyncio.run(runner.release(site, text, crew["supervisor"]))
    for step in run_of(site, run_id).sheet.steps[: number - 1]:
        asyncio.run(runner.finish(site, run_id, step, crew))
    return run_id


def deck_work_done(site: Site, text: str, *, but: int) -> tuple[str, Run]:
    """Return a released run of a plan with its id, all deck work done but so many of the last steps."""
    crew = runner.add_crew(site)
    run_id = asyncio.run(runner.release(site, text, crew["supervisor"]))
    deck = run_of(site, run_id).open_deck_steps()
    for step in deck[: len(deck) - but]:
        asyncio.run(runner.finish(site, run_id, step, crew))
    return run_id, run_of(site, run_id)


def run_out(site: Site, run_id: str) -> None:
    """Do every step of a run that is left."""
    crew = crew_of(site)
    while (open_steps := [*run_of(site, run_id).open_deck_steps(), run_of(site, run_id).current()])[0]:
        asyncio.run(runner.finish(site, run_id, open_steps[0], crew))


@dataclass(slots=True)
class Shift:
    """One tablet on a run of a server that runs; `data` is where its log can be looked into."""

    page: Page
    data: Path
    run_id: str
    seen: Run | None = None

    @property
    def home(self) -> str:
        """Return the address of the run."""
        return f"/runs/{self.run_id}"

    @property
    def run(self) -> Run:
        """Return the run as its log has it now."""
        with closing(open_site(self.data)) as site:
            self.seen = self._moved_on(site) if self.seen is not None else run_of(site, self.run_id)
        return self.seen

    def _moved_on(self, site: Site) -> Run:
        assert self.seen is not None
        news = [read_entry(entry) for entry in log_of(site, self.run_id, self.seen.sequence)]
        # A rewriting brings a sheet of its own; then all is read again.
        is_rewritten = any(isinstance(item.event, BRINGS_A_SHEET) for item in news)
        return run_of(site, self.run_id) if is_rewritten else fold(self.seen, news)

    def sign_in(self, name: str) -> None:
        """Sign in with the tablet's own keypad."""
        self.page.goto("/sign-in")
        self.page.locator(".names a", has_text=name).tap()
        for digit in PINS[name]:
            self.page.locator(f'[data-digit="{digit}"]').tap()
        self.tap("Sign in")
        expect(self.page.locator(".who", has_text=name).first).to_be_visible(timeout=SLOW)

    def tick(self, **changed: str) -> Step:
        """Tick the step to be done now with good readings, some typed otherwise, and return it."""
        run = self.run
        step = run.current()
        assert step is not None
        held = run.holding(step)
        if held is not None:
            self.talk_and_sign(held.id)
        self.page.goto(self.home)
        expect(self.page.locator(".step-number")).to_have_text(f"Step {step.number}", timeout=SLOW)
        self.type_readings(good_readings(run, step), changed)
        self.page.locator("#done").tap()
        return step

    def walk(self, until: int) -> None:
        """Tick one step after another until one is to be done now."""
        while (step := self.run.current()) is not None and step.number < until:
            self.tick()
            self.stands_at(step.number + 1)

    def stands_at(self, number: int) -> None:
        """Wait until a step is the one to be done now."""
        expect(self.page.locator(".step-number")).to_have_text(f"Step {number}", timeout=SLOW)

    def type_readings(self, readings: tuple[Entered, ...], changed: dict[str, str]) -> None:
        """Type readings into the form of the step on the screen."""
        for position, entered in enumerate(readings):
            value = changed.get(entered.name.replace(" ", "_").replace("-", "_"), entered.value)
            self.page.locator(f"#value-{position}").fill(value)
            if entered.unit:
                self.page.locator(f"#unit-{position}").select_option(entered.unit)
            tools = self.page.locator(f"#tool-{position}")
            if entered.tool and tools.count():
                tools.select_option(entered.tool)

    def talk_and_sign(self, stage_id: str) -> None:
        """Hold the talk before a stage with everybody, and let each sign with his own PIN."""
        self.page.goto(f"{self.home}/hold-points/{stage_id}")
        for box in self.page.locator('input[name="topic"], input[name="there"]').all():
            box.tap()
        self.tap("The talk was held")
        for name, pin in PINS.items():
            summary = self.page.locator("summary", has_text=name)
            expect(summary).to_be_visible(timeout=SLOW)
            summary.tap()
            self.page.get_by_label(f"PIN of {name}").fill(pin)
            self.tap(f"I, {name}, sign")
            expect(self.page.locator(".signature", has_text=name)).to_be_visible(timeout=SLOW)

    def tap(self, name: str) -> None:
        """Tap the button of that name."""
        self.page.get_by_role("button", name=name, exact=True).tap()

    def open_current(self) -> int:
        """Open the step to be done now, type what it asks for, and return its number."""
        run = self.run
        step = run.current()
        assert step is not None
        self.page.goto(self.home)
        self.stands_at(step.number)
        self.type_readings(good_readings(run, step), {})
        return step.number

    def walk_back(self) -> None:
        """Walk a way back to its end."""
        self.walk(self.run.way_back_left()[-1] + 1)

    def do_deck_work(self) -> None:
        """Do all deck work that is open."""
        for step in self.run.open_deck_steps():
            self.page.goto(f"{self.home}/deck")
            self.page.locator(f'a[href$="/steps/{step.number}"]').first.tap()
            self.stands_at(step.number)
            self.type_readings(good_readings(self.run, step), {})
            self.page.locator("#done").tap()
            expect(self.page.locator(f'a[href$="/steps/{step.number}"]')).to_have_count(0, timeout=SLOW)

    def swap(self, place: str, *, old: str, new: str, reason: str, deviation: int = 0) -> None:
        """Put another part or clamp in the place of one that is rejected."""
        self.page.goto(f"{self.home}/swaps?place={quote(place)}")
        self.page.locator("#old").fill(old)
        self.page.locator("#new").fill(new)
        self.page.locator("#deviation").select_option(str(deviation))
        self.page.locator("#swap-reason").fill(reason)
        self.tap(f"Swap {place}")
        expect(self.page.get_by_text(f"{old} rejected, {new} in its place")).to_be_visible(timeout=SLOW)

    def raise_deviation(self, step: int, what: str, why: str, proposed: str) -> None:
        """Raise a deviation at a step."""
        self.page.goto(f"{self.home}/steps/{step}")
        self.page.locator("#deviation summary").tap()
        self.page.locator("#what").fill(what)
        self.page.locator("#why").fill(why)
        self.page.get_by_text(proposed.capitalize(), exact=True).tap()
        self.tap("Raise the deviation")
        expect(self.page.locator(".open-deviations", has_text=what)).to_be_visible(timeout=SLOW)

    def accept_deviation(self, number: int, disposition: str, reason: str) -> None:
        """Settle a deviation."""
        self.page.goto(f"{self.home}/deviations")
        self.page.locator("summary", has_text=f"Accept “{disposition}”").tap()
        self.page.locator(f"#settle-{number}-reason").fill(reason)
        self.tap(f"Accept deviation {number} as “{disposition}”")
        expect(self.page.locator(".open-deviations")).to_have_count(0, timeout=SLOW)

    def go_back(self, first: int, cause: str, reason: str, *, deviation: int = 0) -> None:
        """Sign for the way back to before a step."""
        self.page.goto(f"{self.home}/back-out")
        self.page.locator(f'a[href$="/back-out/{first}"]').tap()
        self.page.get_by_text(cause, exact=True).tap()
        self.page.get_by_label("In your own words").fill(reason)
        self.page.locator(f'label[for="deviation-{deviation}"]').tap()
        self.page.get_by_label(f"PIN of {SUPERVISOR}").fill(PINS[SUPERVISOR])
        self.tap(f"I, {SUPERVISOR}, sign, and the string goes back")
        self.page.wait_for_url(f"**{self.home}", timeout=SLOW)

    def hand_over(self, words: str) -> None:
        """Hand the run over from the supervisor to his relief, who reads values again."""
        run = self.run
        self.page.goto(f"{self.home}/handover")
        self.page.locator("#words").fill(words)
        self.tap("Draft the handover")
        for box in self.page.locator('input[name="item"]').all():
            box.tap()
        self.tap(f"{SUPERVISOR}: it was talked through")
        expect(self.page.get_by_text("Read these again")).to_be_visible(timeout=SLOW)
        self.sign_in(RELIEF)
        self.page.goto(f"{self.home}/handover")
        for position, text in enumerate(self._read_again()):
            self.page.locator(f"#value-{position}").fill(text)
        self.page.locator("#current").fill(str(run.floor_next))
        self.tap("Compare with what was recorded")
        self.page.get_by_label(f"PIN of {RELIEF}").fill(RELIEF_PIN)
        self.tap(f"I, {RELIEF}, take over")
        expect(self.page.get_by_text(f"{SUPERVISOR} to {RELIEF}")).to_be_visible(timeout=SLOW)

    def _read_again(self) -> list[str]:
        run = self.run
        assert run.handing_over is not None
        return [item.taken.value for item in asked_again(run, run.handing_over)]

    def replan(self, text: str, reason: str) -> None:
        """Send a changed plan, read what it changes, and sign for it."""
        self.page.goto("/")
        self.page.get_by_label("Or the text of the plan").fill(text)
        self.tap("Read and keep the plan")
        self.page.wait_for_url("**/plans/*", timeout=SLOW)
        plan_id = self.page.url.rsplit("/", 1)[-1]
        self.page.goto(f"{self.home}/replan")
        self.page.locator(f'a[href$="/replan/{plan_id}"]').tap()
        for box in self.page.locator('input[name="accept"]').all():
            box.tap()
        self.page.get_by_label("Why the plan is changed").fill(reason)
        signer = self.page.locator(".who strong, .who span").first.inner_text().split("\n")[0]
        self.page.get_by_label(f"PIN of {signer}").fill(PINS[signer])
        self.tap(f"I, {signer}, sign, and the run goes on so")
        self.page.wait_for_url(f"**{self.home}", timeout=SLOW)
