"""Half-typed text survives the browser, the tablet, the server, the sign-in and a change of person."""

import os
import secrets
import shutil
import signal
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from app.domain.operations import Operation
from app.domain.sheet import Lane, ReadingKind
from tests.browser.conftest import CHROMIUM_ARGUMENTS, OpenTablet, chromium_path
from tests.browser.crew import SLOW
from tests.browser.running_program import RunningProgram, free_port, running_program
from tests.browser.shift import Shift, at_camp, released_until
from tests.domain import job
from tests.runner import CREW
from tests.services.camp import SINGLE

SUPERVISOR, TECHNICIAN, DRILLER = (name for name, _, _ in CREW[:3])
TORQUE = next(
    step.number
    for step in job.sheet().lane(Lane.FLOOR)
    if any(reading.kind is ReadingKind.TORQUE for reading in step.readings)
)
SWIVEL = next(step.number for step in job.sheet().steps if step.operation is Operation.MEET_SWIVEL)


@dataclass(frozen=True, slots=True)
class Begun:
    """A data folder whose run stands before the first torque on the floor."""

    data: Path
    run_id: str


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Begun:
    """Return such a run."""
    data = tmp_path_factory.mktemp("half-typed") / "data"
    return Begun(data, at_camp(data, lambda site: released_until(site, SINGLE, TORQUE)))


@pytest.fixture(scope="module")
def shared(begun: Begun, tmp_path_factory: pytest.TempPathFactory) -> Iterator[RunningProgram]:
    """Return a server on a copy of it, for all tests that let it live."""
    data = shutil.copytree(begun.data, tmp_path_factory.mktemp("shared") / "data")
    with running_program(data) as program:
        yield program


def test_another_person_goes_on_where_the_browser_was_killed(
    begun: Begun, shared: RunningProgram, browser: Browser, open_tablet: OpenTablet
) -> None:
    with doomed_browser(browser) as (doomed, kill):
        page = doomed.new_page(base_url=shared.address, has_touch=True)
        first = signed_in(page, begun, shared, SUPERVISOR)
        with arriving(page):
            page.locator("#value-0").press_sequentially("123.4")
            page.locator("#unit-0").select_option(index=1)
        unit = page.locator("#unit-0").input_value()
        page.goto(f"{first.home}/steps/{TORQUE}#note")
        with arriving(page):
            page.locator("#note-text").fill("the thread is\ndented")
        kill()

    second = signed_in(open_tablet(base_url=shared.address).new_page(), begun, shared, TECHNICIAN)

    expect(second.page.locator(".step-number")).to_have_text(f"Step {TORQUE}", timeout=SLOW)
    expect(second.page.locator("#value-0")).to_have_value("123.4")
    expect(second.page.locator("#unit-0")).to_have_value(unit)
    expect(second.page.locator("#readback")).to_contain_text("123.4")
    expect(second.page.locator(".now .half-typed")).to_contain_text(f"Half typed by {SUPERVISOR} at")
    expect(second.page.locator(".step-head .state")).to_contain_text("in progress")
    second.page.get_by_role("link", name=f"A note on step {TORQUE}").tap()
    expect(second.page.locator("#note-text")).to_have_value("the thread is\ndented")
    expect(second.page.locator("#note-text")).to_be_visible()
    second.page.get_by_role("button", name="Save the note").tap()
    expect(second.page.locator("blockquote")).to_have_text("the thread is dented", timeout=SLOW)
    expect(second.page.locator("#note-text")).to_have_value("")
    assert len(second.run.remarks) == 1


def test_a_second_tablet_sees_it_and_no_text_changes_under_the_finger(
    begun: Begun, shared: RunningProgram, open_tablet: OpenTablet
) -> None:
    one = signed_in(open_tablet(base_url=shared.address).new_page(), begun, shared, SUPERVISOR)
    other = signed_in(open_tablet(base_url=shared.address).new_page(), begun, shared, DRILLER)
    path = f"{one.home}/deviations"
    for shift in (one, other):
        shift.page.goto(path)
        shift.page.locator("summary", has_text="Raise a deviation").tap()

    with arriving(one.page):
        one.page.locator("#what").fill("the clamp is cracked")
    with arriving(other.page):
        other.page.locator("#what").fill("the slips sit deep")
    expect(one.page.locator("#what")).to_have_value("the clamp is cracked")
    other.page.reload()
    one.page.goto(path)

    for shift in (one, other):
        expect(shift.page.locator("#what")).to_have_value("the slips sit deep")
        expect(shift.page.locator(".half-typed")).to_contain_text(f"Half typed by {DRILLER} at")
    one.page.get_by_role("button", name="Clear it").tap()
    expect(one.page.locator(".half-typed")).to_have_count(0, timeout=SLOW)
    other.page.reload()
    expect(other.page.locator("#what")).to_have_value("")
    assert one.run.deviations == ()


def test_a_first_reading_is_shown_to_whoever_typed_it_and_to_nobody_else(
    begun: Begun, shared: RunningProgram, open_tablet: OpenTablet
) -> None:
    tablet = open_tablet(base_url=shared.address).new_page()
    shift = signed_in(tablet, begun, shared, SUPERVISOR)
    path = f"{shift.home}/steps/{SWIVEL}"
    tablet.goto(path)
    with arriving(tablet):
        tablet.locator("#value-0").fill("6.1357")

    for name, seen in ((DRILLER, ""), (SUPERVISOR, "6.1357")):
        shift.sign_in(name)
        tablet.goto(path)
        expect(tablet.locator("#value-0")).to_have_value(seen)
        expect(tablet.locator(".now .half-typed")).to_have_count(1 if seen else 0)


def test_a_form_of_no_run_keeps_its_text_in_its_tab(
    begun: Begun, shared: RunningProgram, open_tablet: OpenTablet
) -> None:
    page = open_tablet(base_url=shared.address).new_page()
    signed_in(page, begun, shared, SUPERVISOR)
    page.goto("/")
    page.get_by_label("Or the text of the plan").fill('title = "half a plan"')

    page.reload()

    expect(page.get_by_label("Or the text of the plan")).to_have_value('title = "half a plan"')


def test_it_is_there_after_the_server_was_killed_and_the_sign_in_ran_out(
    begun: Begun, open_tablet: OpenTablet, tmp_path: Path
) -> None:
    data, port = shutil.copytree(begun.data, tmp_path / "data"), free_port()
    with running_program(data, port) as program:
        page = open_tablet(base_url=program.address).new_page()
        shift = signed_in(page, begun, program, SUPERVISOR)
        with arriving(page):
            page.locator("#value-0").fill("123.4")
        program.process.kill()
        program.process.wait()
        page.locator("#value-0").fill("123.45")
        expect(page.locator("#not-recorded")).to_be_visible(timeout=SLOW)
    let_sign_ins_run_out(data)

    with running_program(data, port):
        expect(page.locator("#not-recorded")).to_be_hidden(timeout=SLOW)
        expect(page.locator("#value-0")).to_have_value("123.45")
        with page.expect_response("**/half-typed") as refused:
            page.locator("#value-0").press("End")
            page.locator("#value-0").press_sequentially("6")
        assert refused.value.status == 401
        other = signed_in(open_tablet(base_url=program.address).new_page(), begun, program, TECHNICIAN)
        expect(other.page.locator("#value-0")).to_have_value("123.4")
        with arriving(page):
            shift.sign_in(SUPERVISOR)
            page.goto(shift.home)
            expect(page.locator("#value-0")).to_have_value("123.456", timeout=SLOW)
        other.page.reload()
        expect(other.page.locator("#value-0")).to_have_value("123.456")


def signed_in(page: Page, begun: Begun, program: RunningProgram, name: str) -> Shift:
    """Return somebody at a tablet, on the page of the run."""
    shift = Shift(page, program.data, begun.run_id)
    shift.sign_in(name)
    page.goto(shift.home)
    return shift


@contextmanager
def arriving(page: Page) -> Iterator[None]:
    """Let a page have sent by itself what is typed within, and the server have taken it."""
    with page.expect_response(lambda answer: answer.url.endswith("/half-typed") and answer.ok) as sent:
        yield
    assert sent.value.status == 204


@contextmanager
def doomed_browser(browser: Browser) -> Iterator[tuple[Browser, Callable[[], None]]]:
    """Hand over a browser of its own and a way to kill it as a dead battery would."""
    mark = f"--doomed={secrets.token_hex(8)}"
    arguments = [*CHROMIUM_ARGUMENTS, mark]
    doomed = browser.browser_type.launch(executable_path=chromium_path(), args=arguments)
    yield doomed, lambda: kill_marked(mark)


def kill_marked(mark: str) -> None:
    """Kill every process that was started with a mark."""
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            if mark in folder.joinpath("cmdline").read_text(encoding="utf-8", errors="replace"):
                os.kill(int(folder.name), signal.SIGKILL)
        except OSError:
            continue  # it has ended meanwhile


def let_sign_ins_run_out(data: Path) -> None:
    """Leave every sign-in as old as if a shift and more had passed."""
    with closing(sqlite3.connect(data / "twinleg.db")) as connection, connection:
        connection.execute("UPDATE session SET started_at = '2020-01-01T00:00:00+00:00'")
