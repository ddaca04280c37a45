"""A real Chromium, a tablet in it, and the real program behind it."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Protocol

import pytest
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, sync_playwright

from tests.browser.running_program import RunningProgram, running_program

CHROMIUM_NAMES = ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome")
CHROMIUM_ARGUMENTS = (
    "--no-sandbox",  # the tests may run as root
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
POLICY = "Content Security Policy"  # stands in all that Chromium says of it
LANDSCAPE = (1280, 800)
PORTRAIT = (800, 1280)


class OpenTablet(Protocol):
    """A way to take up one more tablet."""

    def __call__(self, *, size: tuple[int, int] = LANDSCAPE, base_url: str | None = None) -> BrowserContext:
        """Return a new tablet of that size; addresses without a host start at the base."""


# A package's browser is closed before a test of another folder runs: playwright's loop would still be
# the running one there, and asyncio.run refuses to start beside it.
@pytest.fixture(scope="package")
def browser() -> Iterator[Browser]:
    """Return one Chromium for the tests of this folder."""
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=chromium_path(), args=list(CHROMIUM_ARGUMENTS))
        yield chromium
        chromium.close()


@pytest.fixture
def open_tablet(browser: Browser) -> Iterator[OpenTablet]:
    """Return a way to take up a new tablet: `open_tablet(size=PORTRAIT, base_url=server.address)`.

    A test fails on whose tablets the browser kept anything from a page by its policy.
    """
    opened: list[BrowserContext] = []
    kept_away: list[str] = []

    def listen(said: ConsoleMessage) -> None:
        if POLICY in said.text:
            kept_away.append(said.text)

    def open_one(*, size: tuple[int, int] = LANDSCAPE, base_url: str | None = None) -> BrowserContext:
        width, height = size
        tablet = browser.new_context(
            base_url=base_url,
            viewport={"width": width, "height": height},
            has_touch=True,
            device_scale_factor=1,
        )
        tablet.on("console", listen)
        opened.append(tablet)
        return tablet

    yield open_one
    for tablet in opened:
        tablet.close()
    assert kept_away == []


@pytest.fixture
def server(tmp_path: Path) -> Iterator[RunningProgram]:
    """Return the real program, running on a fresh data folder."""
    with running_program(tmp_path / "data") as program:
        yield program


@pytest.fixture
def tablet(open_tablet: OpenTablet, server: RunningProgram) -> Page:
    """Return an empty page of a tablet held landscape, whose addresses start at the server."""
    return open_tablet(base_url=server.address).new_page()


def chromium_path() -> str:
    """Return the Chromium that tests drive."""
    named = os.environ.get("CHROMIUM")
    found = named or next(filter(None, map(shutil.which, CHROMIUM_NAMES)), None)
    assert found, "No Chromium: set CHROMIUM to its path, or start the tests with: bash .dev/test"
    return found
