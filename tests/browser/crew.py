"""A crew at one tablet: signs in, sends a plan, holds talks, ticks and signs, all by touch."""

from dataclasses import dataclass, replace

from playwright.sync_api import Locator, Page, expect

from app.domain.compiler.compile import compile_plan
from app.domain.run import Run, new_run
from app.domain.second_readings import asked_twice
from app.domain.sheet import Lane, ReadingKind, Step
from app.records.plan_toml import read_plan
from tests.runner import CREW, good_readings

SLOW = 20_000  # milliseconds; a busy two-core machine, not a promise


@dataclass(slots=True)
class Crew:
    """Guards one tablet and what the crew knows of its run: the sheet, and which serials are used."""

    page: Page
    run: Run

    def first_start(self) -> None:
        """Make the first supervisor, sign in, and add everybody else."""
        name, _, pin = CREW[0]
        self.page.goto("/")
        self.fill("Name", name)
        self.fill("PIN, 6 to 12 digits", pin)
        self.fill("The same PIN again", pin)
        self.tap_button("Add the supervisor")
        expect(self.page.get_by_role("heading", name="Runs", exact=True)).to_be_visible(timeout=SLOW)
        self.sign_in(name, pin)
        for other, role, other_pin in CREW[1:]:
            self.page.goto("/people")
            self.fill("Name", other)
            self.fill("Role", role)
            self.fill("Your PIN", pin)
            self.tap_button("Add")
            self.page.get_by_role("link", name=f"{other} {role}").tap(timeout=SLOW)
            self._take_over(other_pin, pin)
            self.sign_in(name, pin)

    def _take_over(self, new_pin: str, lead_pin: str) -> None:
        """Be handed the tablet by the supervisor and choose a PIN."""
        handing_over = self.page.locator('form[action$="/pin"]')
        handing_over.get_by_label("Why").fill("new here")
        handing_over.get_by_label("Your PIN").fill(lead_pin)
        self.tap_button("Hand over the tablet")
        self.fill("Your new PIN", new_pin)
        self.fill("The same PIN again", new_pin)
        self.tap_button("Keep my PIN and sign me in")
        expect(self.page.get_by_role("heading", name="Runs", exact=True)).to_be_visible(timeout=SLOW)

    def sign_in(self, name: str, pin: str) -> None:
        """Sign in with the tablet's own keypad."""
        self.page.goto("/sign-in")
        self.page.locator(".names a", has_text=name).tap()
        for digit in pin:
            self.page.locator(f'[data-digit="{digit}"]').tap()
        self.tap_button("Sign in")
        expect(self.page.get_by_role("heading", name="Runs", exact=True)).to_be_visible(timeout=SLOW)

    def send_plan(self, text: str) -> None:
        """Send the text of a plan and stand on its page."""
        self.page.goto("/")
        self.fill("Or the text of the plan", text)
        self.tap_button("Read and keep the plan")
        self.page.wait_for_url("**/plans/*", timeout=SLOW)

    def release(self, pin: str) -> str:
        """Accept every caution, release the plan and return the address of its run."""
        for box in self.page.locator('input[name="accepted"]').all():
            box.tap()
        self.fill("Your PIN", pin)
        self.tap_button("Release the plan as a run")
        self.page.wait_for_url("**/runs/*", timeout=SLOW)
        return self.page.url

    def do_deck_work(self, address: str, *, until: int) -> None:
        """Do all deck steps up to a number, each from the list of deck work."""
        for step in self.run.open_deck_steps():
            if step.number > until:
                return
            self.page.goto(f"{address}/deck")
            self.page.locator(f'a[href$="/steps/{step.number}"]').first.tap()
            self.done(step)
            expect(self.page.locator(f'a[href$="/steps/{step.number}"]')).to_have_count(0, timeout=SLOW)

    def do_floor_work(self, address: str, *, until: int) -> None:
        """Do the floor steps in order, with every talk that stands before them."""
        self.page.goto(address)
        for step in self.run.sheet.lane(Lane.FLOOR):
            if step.number > until:
                return
            self._pass_hold_point(address, step)
            self.done(step)
            if asked_twice(self.run.plan, step):
                self._read_again(address, step)
            after = self.page.locator(".beside", has_text=f"Step {step.number}:")
            expect(after).to_be_visible(timeout=SLOW)

    def done(self, step: Step) -> None:
        """Fill in what the step on the screen asks for and tap Done."""
        expect(self.page.locator(".step-number")).to_have_text(f"Step {step.number}", timeout=SLOW)
        for position, entered in enumerate(good_readings(self.run, step)):
            self.page.locator(f"#value-{position}").fill(entered.value)
            if entered.unit:
                self.page.locator(f"#unit-{position}").select_option(entered.unit)
            tools = self.page.locator(f"#tool-{position}")
            if entered.tool and tools.count():
                tools.select_option(entered.tool)
            self._use(step, position, entered.value)
        self.page.locator("#done").tap()

    def _read_again(self, address: str, step: Step) -> None:
        """Let the driller read what two people read, and sign in as before."""
        name, _, pin = CREW[2]
        waits = self.page.locator(".state-second")
        expect(waits).to_be_visible(timeout=SLOW)
        self.sign_in(name, pin)
        self.page.goto(address)
        expect(waits).to_be_visible(timeout=SLOW)
        twice = asked_twice(self.run.plan, step)
        for position, entered in enumerate(good_readings(self.run, step)):
            if entered.name in twice:
                expect(self.page.locator(f"#value-{position}")).to_have_value("")
                self.page.locator(f"#value-{position}").fill(entered.value)
                self.page.locator(f"#unit-{position}").select_option(entered.unit)
        self.page.locator("#done").tap()
        expect(waits).to_have_count(0, timeout=SLOW)
        self.sign_in(CREW[0][0], CREW[0][2])
        self.page.goto(address)

    def hold_and_sign(self, address: str, stage_id: str) -> None:
        """Hold the talk before a stage with everybody, and let each sign with his own PIN."""
        self.page.goto(f"{address}/hold-points/{stage_id}")
        for box in self.page.locator('input[name="topic"], input[name="there"]').all():
            box.tap()
        self.tap_button("The talk was held")
        for name, _, pin in CREW:
            summary = self.page.locator("summary", has_text=name)
            expect(summary).to_be_visible(timeout=SLOW)
            summary.tap()
            self.page.get_by_label(f"PIN of {name}").fill(pin)
            self.tap_button(f"I, {name}, sign")
            expect(self.page.locator(".signature", has_text=name)).to_be_visible(timeout=SLOW)

    def close(self, address: str) -> None:
        """Account for what is left, take the final signatures and close the run."""
        self.page.goto(f"{address}/load-out")
        for box in self.page.locator('input[name="serial"][type="checkbox"]').all():
            box.tap()
        self.page.locator('input[name="settlement"]').first.tap()
        self.fill("Reason or way-bill", "Not needed, back to the yard")
        self.tap_button("Account for the ticked ones")
        expect(self.page.get_by_text("Nothing is left on deck.")).to_be_visible(timeout=SLOW)
        for _ in self.page.locator("#by-number ~ details[open]").all():
            self._send_back()
        self.page.goto(f"{address}/close-out")
        for name, role, pin in CREW:
            if role in ("supervisor", "company representative"):
                self.page.locator("summary", has_text=name).tap()
                self.page.get_by_label(f"PIN of {name}").fill(pin)
                self.tap_button(f"I, {name}, sign")
                expect(self.page.locator(".signature", has_text=name)).to_be_visible(timeout=SLOW)
        self.tap_button("Close the run")
        expect(self.page.get_by_role("heading", name="Install record")).to_be_visible(timeout=SLOW)

    def write_record(self) -> None:
        """Have the record written, on its page."""
        self.tap_button("Write the record")
        expect(self.page.locator('a[href$="/record/pdf"]')).to_be_visible(timeout=3 * SLOW)

    def fill(self, label: str, text: str) -> None:
        """Tap a field and type."""
        field = self.page.get_by_label(label, exact=label in ("Name", "Role")).first
        field.tap()
        field.fill(text)

    def tap_button(self, name: str) -> None:
        """Tap the button of that name."""
        self.page.get_by_role("button", name=name, exact=True).tap()

    def _pass_hold_point(self, address: str, step: Step) -> None:
        held: Locator = self.page.locator(".main-act.hold")
        expect(self.page.locator(".step-number")).to_have_text(f"Step {step.number}", timeout=SLOW)
        if held.count():
            self.hold_and_sign(address, step.stage)
            self.page.goto(address)

    def _send_back(self) -> None:
        """Count the first thing without serials: what is left of it on deck went back."""
        item = self.page.locator("#by-number ~ details[open]").first
        left = item.locator("summary strong").inner_text().split()[0]
        item.get_by_label("Went back in all").fill(left)
        item.get_by_label("Reason or way-bill").fill("Back to the yard")
        before = self.page.locator("#by-number ~ details[open]").count()
        item.get_by_role("button", name="Record this count").tap()
        expect(self.page.locator("#by-number ~ details[open]")).to_have_count(before - 1, timeout=SLOW)

    def _use(self, step: Step, position: int, value: str) -> None:
        if step.readings[position].kind is ReadingKind.SERIAL:
            self.run = replace(self.run, used_serials={**self.run.used_serials, value: step.number})


def crew_at(page: Page, plan_text: str) -> Crew:
    """Return the crew at a tablet, with the sheet of the plan in hand."""
    plan, problems = read_plan(plan_text)
    assert plan is not None, problems
    sheet, _ = compile_plan(plan)
    return Crew(page, new_run("in-hand", plan, sheet))
