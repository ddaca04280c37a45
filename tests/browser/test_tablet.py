"""The tablet of the browser tests is one: its size, its touch, and its tools."""

from pathlib import Path

import pytest

from tests.browser.conftest import LANDSCAPE, PORTRAIT, OpenTablet

AXE = Path(__file__).parent / "vendor" / "axe.min.js"


@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])
def test_a_tablet_has_the_size_that_was_asked_for_and_takes_touches(
    open_tablet: OpenTablet, size: tuple[int, int]
) -> None:
    page = open_tablet(size=size).new_page()

    page.set_content("<button onclick=\"this.textContent = 'touched'\">not touched</button>")
    page.get_by_role("button").tap()

    assert page.get_by_role("button").inner_text() == "touched"
    assert page.evaluate("[innerWidth, innerHeight, devicePixelRatio, navigator.maxTouchPoints > 0]") == [
        *size,
        1,
        True,
    ]


def test_two_tablets_share_no_cookie(open_tablet: OpenTablet) -> None:
    first, second = open_tablet(), open_tablet()

    first.add_cookies([{"name": "who", "value": "first", "url": "http://127.0.0.1"}])

    assert [cookie.get("name") for cookie in first.cookies()] == ["who"]
    assert second.cookies() == []


def test_the_accessibility_checker_finds_a_picture_without_words(open_tablet: OpenTablet) -> None:
    page = open_tablet().new_page()
    page.set_content("<html lang='en'><title>A page</title><main><h1>A</h1><img src='data:,'></main></html>")

    page.evaluate(AXE.read_text(encoding="utf-8"))
    findings = page.evaluate("async () => (await axe.run()).violations.map(finding => finding.id)")

    assert findings == ["image-alt"]
