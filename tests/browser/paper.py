"""Paper at a tablet: what is left is looked at as printed, and a step of the deck is entered from it."""

from datetime import datetime
from pathlib import Path

from playwright.sync_api import Page, expect

from tests.browser.crew import SLOW
from tests.browser.shift import Shift
from tests.runner import good_readings

AXE = (Path(__file__).parent / "vendor" / "axe.min.js").read_text(encoding="utf-8")
RULES = {"color-contrast-enhanced": {"enabled": True}, "target-size": {"enabled": True}}
LARGE_PX = 15.0 * 6.3  # a glove at 160 dots an inch


def look_at_paper(shift: Shift) -> None:
    """Look at what is left to be printed: every open step, nothing wide, nothing for axe to find."""
    page, run = shift.page, shift.run
    page.goto(f"{shift.home}/paper")

    numbers = page.locator("tr:has(.blank) > th").all_inner_texts()

    assert sorted(map(int, numbers)) == [step.number for step in run.sheet.steps if run.is_open(step.number)]
    found = findings(page)
    assert not found, found[:6]
    page.emulate_media(media="print")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    expect(page.locator("header.top")).to_be_hidden()
    page.emulate_media(media="screen")


def enter_from_paper(shift: Shift) -> None:
    """Enter the first open step of the deck as the paper has it, by touch."""
    page, run = shift.page, shift.run
    step = run.open_deck_steps()[0]
    page.goto(f"{shift.home}/from-paper?lane=deck")
    found = findings(page)
    assert not found, found[:6]
    for position, entered in enumerate(good_readings(run, step), start=step.number * 1000):
        page.locator(f"#value-{position}").fill(entered.value)
        if entered.unit:
            page.locator(f"#unit-{position}").select_option(entered.unit)
        tools = page.locator(f"#tool-{position}")
        if entered.tool and tools.count():
            tools.select_option(entered.tool)
    now = datetime.now().astimezone()
    page.locator("#day").select_option(f"{now:%Y-%m-%d}")
    page.locator(f"#at-{step.number}").fill(f"{now:%H%M}")
    button = page.get_by_role("button", name="Enter these steps")
    assert min(size_of(page, "button.main-act"), size_of(page, f"#at-{step.number}")) >= LARGE_PX
    button.tap()
    expect(page.locator(f"#at-{step.number}")).to_have_count(0, timeout=SLOW)

    done = shift.run.done[step.number]
    assert done.late is not None
    assert done.doer == done.who


def findings(page: Page) -> list[str]:
    """Return what axe finds on a page, with enhanced contrast and target size, as rule and place."""
    page.evaluate(AXE)
    found: list[str] = page.evaluate(
        "async rules => (await axe.run(document, { rules })).violations.flatMap("
        "found => found.nodes.map(node => `${found.id}: ${node.target}`))",
        RULES,
    )
    return found


def size_of(page: Page, place: str) -> float:
    """Return the smaller side of a control, in dots."""
    box = page.locator(place).first.bounding_box()
    assert box is not None
    return min(box["width"], box["height"])
