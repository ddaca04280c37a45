"""Serials by the tablet's camera and by a scanner: into the field that expects them, or refused in words."""

import asyncio
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, StorageState, expect

from app.demo import demo_plan_text
from app.domain.sheet import Lane, ReadingKind, Step
from app.domain.swaps import swappables
from app.services.runs import new_key, run_of
from app.services.site import open_site
from tests import runner
from tests.browser.conftest import CHROMIUM_ARGUMENTS, LANDSCAPE, PORTRAIT, chromium_path
from tests.browser.crew import SLOW, crew_at
from tests.browser.film import Draw, code_128, data_matrix, film, qr_code
from tests.browser.paper import findings
from tests.browser.running_program import RunningProgram, running_program

PLAN = demo_plan_text("single")
ELSEWHERE = "192.0.2.7"  # an address kept for examples: to the browser it is another machine than its own
MM = 6.3
LARGE, LARGEST, APART = 15 * MM, 20 * MM, 10 * MM
TORCH = """
MediaStreamTrack.prototype.getCapabilities = () => ({ torch: true });
MediaStreamTrack.prototype.applyConstraints = async ({ advanced }) => { window.lit = advanced[0].torch; };
"""


@dataclass(frozen=True, slots=True)
class Clamping:
    """A server, whose run stands before the first bypass clamp, and the film before the camera.

    `inspected` is a step done that read a serial, `place` a station whose clamp may be swapped.
    """

    program: RunningProgram
    run_id: str
    number: int
    torqued: int
    inspected: int
    place: str
    film: Path
    browser: Browser
    signed_in: StorageState

    @property
    def home(self) -> str:
        """Return the address of the run."""
        return f"/runs/{self.run_id}"

    @property
    def scan(self) -> str:
        """Return the address of the camera for the serial of the clamp."""
        return f"{self.home}/steps/{self.number}/scan/0?back=run"


@pytest.fixture(scope="module")
def clamping(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Clamping]:
    """Return one server and one browser for all tests here; none of them ticks the step."""
    folder = tmp_path_factory.mktemp("camera")
    path = folder / "film.y4m"
    film(path, qr_code("TL-BC-0401"))
    # In a thread of its own: the browser's loop is the running one here.
    with ThreadPoolExecutor(1) as aside:
        begun = aside.submit(_begin, folder / "data").result()
    arguments = (
        f"--use-file-for-fake-video-capture={path}",
        f"--host-resolver-rules=MAP {ELSEWHERE} 127.0.0.1",
    )
    with running_program(folder / "data", host="0.0.0.0") as program:
        seeing = _browser(browser, *arguments)
        signed_in = _sign_in(seeing, program.address)
        yield Clamping(program, *begun, path, seeing, signed_in)
        seeing.close()


@pytest.fixture
def page(clamping: Clamping) -> Iterator[Page]:
    """Return a tablet that may open its camera, with the supervisor signed in."""
    yield from _tablet(clamping)


def _browser(other: Browser, *arguments: str, answer: str = "accept") -> Browser:
    """Return one more Chromium, with a camera of its own and somebody who answers when it asks for it."""
    camera = ("--use-fake-device-for-media-stream", f"--use-fake-ui-for-media-stream={answer}")
    every = [*CHROMIUM_ARGUMENTS, *camera, *arguments]
    return other.browser_type.launch(executable_path=chromium_path(), args=every)


def _tablet(
    clamping: Clamping, *, size: tuple[int, int] = LANDSCAPE, browser: Browser | None = None
) -> Iterator[Page]:
    width, height = size
    tablet = (browser or clamping.browser).new_context(
        base_url=clamping.program.address,
        viewport={"width": width, "height": height},
        has_touch=True,
        storage_state=clamping.signed_in,
    )
    yield tablet.new_page()
    _clear(tablet, clamping)
    tablet.close()


def _clear(tablet: BrowserContext, clamping: Clamping) -> None:
    """Leave the next test nothing half typed."""
    for page in tablet.pages:
        page.close()
    done = [f"steps/{step}/done" for step in (clamping.number, clamping.torqued)]
    corrected = [f"steps/{clamping.inspected}/correct/{at}" for at in range(2)]
    for form in (*done, *corrected, f"swaps {clamping.place}"):
        sent: dict[str, str | float | bool] = {"key": new_key(), "form": form}
        answer = tablet.request.post(f"{clamping.home}/half-typed/clear", form=sent, max_redirects=0)
        assert answer.status == 303


def _sign_in(browser: Browser, address: str) -> StorageState:
    """Return what a browser keeps of the supervisor who signed in at an address."""
    tablet = browser.new_context(base_url=address, has_touch=True)
    name, _, pin = runner.CREW[0]
    crew_at(tablet.new_page(), PLAN).sign_in(name, pin)
    kept = tablet.storage_state()
    tablet.close()
    return kept


@pytest.mark.parametrize(
    ("serial", "draw"),
    [("TL-BC-0401", qr_code), ("TL-BC-0402", data_matrix), ("TL-BC-0403", code_128)],
    ids=["QR", "DataMatrix", "Code 128"],
)
def test_a_code_is_shown_large_and_comes_into_its_field_when_it_is_confirmed(
    clamping: Clamping, page: Page, serial: str, draw: Draw
) -> None:
    film(clamping.film, draw(serial))
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(clamping.home)
    page.locator("#value-1").fill("48")
    page.get_by_role("link", name="Camera").tap()

    expect(page.locator("#scanned")).to_have_text(serial, timeout=SLOW)
    expect(page.get_by_text("It comes into the field; nothing is ticked.")).to_be_visible()
    page.get_by_role("button", name="Take it").tap()

    page.wait_for_url(f"**{clamping.home}")
    # A tap too many finds no button for a moment.
    expect(page.locator(".action-bar[inert]")).to_be_attached()
    expect(page.locator("#value-0")).to_have_value(serial)
    expect(page.locator("#value-1")).to_have_value("48")
    expect(page.locator("#readback")).to_contain_text(serial)
    expect(page.locator(".step-number")).to_have_text(f"Step {clamping.number}")
    assert all(url.startswith(clamping.program.address) for url in asked)
    assert sum("zxing" in url for url in asked) == 2


def test_a_serial_that_is_put_right_is_read_by_the_camera_and_not_yet_put_right(
    clamping: Clamping, page: Page
) -> None:
    film(clamping.film, qr_code("TL-GA-0012"))
    step = f"{clamping.home}/steps/{clamping.inspected}"
    page.goto(step)
    page.locator("summary", has_text="Correct serial").tap()
    page.get_by_role("link", name="Camera").tap()
    page.get_by_role("button", name="Take it").tap(timeout=SLOW)

    page.wait_for_url(f"**{step}#correct-*-value")
    field = page.locator("details[open] [data-scan]")
    expect(field).to_have_value("TL-GA-0012")
    expect(field).to_be_in_viewport()
    expect(page.locator(".old")).to_have_count(0)


def test_a_scan_goes_to_a_correction_that_is_open_in_place_of_what_stood_there(
    clamping: Clamping, page: Page
) -> None:
    page.goto(f"{clamping.home}/steps/{clamping.inspected}")
    field = page.locator("[data-scan]")
    recorded = field.input_value()
    page.locator(".main-act").first.focus()
    _scan(page, "TL-GA-0012")
    expect(page.locator("#no-scan")).to_contain_text("Nothing on this page asks for a serial")
    assert field.input_value() == recorded

    page.locator("summary", has_text="Correct serial").tap()
    for focus, serial in ((".main-act", "TL-GA-0012"), ("[data-scan]", "TL-GA-0013")):
        page.locator(focus).first.focus()
        _scan(page, serial)

        expect(field).to_have_value(serial)
    expect(page.locator(".old")).to_have_count(0)


def test_both_serials_of_a_swap_are_scanned_and_read_by_the_camera(clamping: Clamping, page: Page) -> None:
    film(clamping.film, qr_code("TL-BC-0409"))
    swap = f"{clamping.home}/swaps?place={quote(clamping.place)}"
    page.goto(swap)
    page.locator("#old").fill("")
    page.get_by_role("link", name="Choose something else").focus()
    for serial in ("TL-BC-0401", "TL-BC-0402", "TL-BC-0403"):
        _scan(page, serial)
    expect(page.locator("#old")).to_have_value("TL-BC-0401")
    expect(page.locator("#new")).to_have_value("TL-BC-0403")

    page.get_by_role("link", name="Camera").first.tap()
    expect(page.locator("h1")).to_contain_text("Serial of rejected", timeout=SLOW)
    page.get_by_role("button", name="Take it").tap(timeout=SLOW)

    page.wait_for_url(f"**{swap}")
    expect(page.locator("#old")).to_have_value("TL-BC-0409")
    expect(page.locator("#new")).to_have_value("TL-BC-0403")


def test_a_code_of_the_wrong_kind_is_refused_with_its_reason_at_the_tick(
    clamping: Clamping, page: Page
) -> None:
    film(clamping.film, data_matrix("TL-SEAL-0019"))
    page.goto(clamping.scan)

    page.get_by_role("button", name="Take it").tap(timeout=SLOW)
    page.wait_for_url(f"**{clamping.home}")
    page.locator("#value-1").fill("48")
    page.locator("#done").tap()

    expect(page.locator("#error-0")).to_have_text(
        "Serial TL-SEAL-0019 is a spare seal; here a bypass clamp is wanted. Take the right one.",
        timeout=SLOW,
    )
    expect(page.locator("#value-0")).to_have_value("TL-SEAL-0019")


def test_cancelling_leaves_the_field_as_it_was(clamping: Clamping, page: Page) -> None:
    film(clamping.film, qr_code("TL-BC-0401"))
    page.goto(clamping.home)
    page.locator("#value-0").fill("TL-BC-04")
    page.get_by_role("link", name="Camera").tap()
    expect(page.locator("#scanned")).to_have_text("TL-BC-0401", timeout=SLOW)

    page.get_by_role("link", name="Cancel").tap()

    page.wait_for_url(f"**{clamping.home}")
    expect(page.locator("#value-0")).to_have_value("TL-BC-04")


def test_of_several_codes_the_middle_one_is_read_and_one_that_is_no_serial_is_refused(
    clamping: Clamping, page: Page
) -> None:
    film(clamping.film, data_matrix("TL-BC-0402"), qr_code("BATCH 7"))
    page.goto(clamping.scan)

    expect(page.locator("#scanned")).to_have_text("TL-BC-0402", timeout=SLOW)
    expect(page.get_by_text("Several codes are in the picture")).to_be_visible()

    film(clamping.film, qr_code(f"serial TL-BC-0401, {'made for somebody ' * 5}"))
    page.goto(clamping.scan)
    expect(page.get_by_text("This code holds more than a serial.")).to_be_visible(timeout=SLOW)
    expect(page.get_by_role("button", name="Take it")).to_be_disabled()


def test_a_scanner_shows_what_it_read_on_the_page_of_the_camera_too(clamping: Clamping, page: Page) -> None:
    film(clamping.film, qr_code("TL-BC-0401"))
    page.goto(clamping.scan)
    expect(page.locator("#scanned")).to_have_text("TL-BC-0401", timeout=SLOW)

    _scan(page, "TL-BC-0404")

    expect(page.locator("#scanned")).to_have_text("TL-BC-0404")
    expect(page.locator("#no-scan")).to_be_hidden()
    expect(page.get_by_role("button", name="Take it")).to_be_enabled()


def test_the_lamp_is_there_where_the_camera_has_one(clamping: Clamping, page: Page) -> None:
    film(clamping.film)
    page.goto(clamping.scan)
    expect(page.get_by_text("Hold the code inside the frame")).to_be_visible(timeout=SLOW)
    expect(page.locator("#lamp")).to_be_hidden()

    page.add_init_script(TORCH)
    page.goto(clamping.scan)
    page.get_by_role("button", name="Lamp").tap(timeout=SLOW)

    expect(page.locator("#lamp")).to_have_attribute("aria-pressed", "true")
    assert page.evaluate("window.lit") is True


@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])
def test_what_a_glove_meets_is_large_apart_and_never_where_the_step_is_ticked(
    clamping: Clamping, size: tuple[int, int]
) -> None:
    film(clamping.film, qr_code("TL-BC-0401"))
    for page in _tablet(clamping, size=size):
        page.goto(clamping.home)
        done = page.locator("#done").bounding_box()
        page.goto(clamping.scan)
        take = page.get_by_role("button", name="Take it")
        before = take.bounding_box()
        expect(take).to_be_enabled(timeout=SLOW)
        after = take.bounding_box()
        cancel = page.get_by_role("link", name="Cancel").bounding_box()
        again = page.get_by_role("button", name="Read again").bounding_box()

        assert done and before and after and cancel and again
        assert before == after
        assert after["height"] >= LARGEST
        assert after["y"] + after["height"] <= done["y"]
        assert after["y"] - (cancel["y"] + cancel["height"]) >= APART
        assert again["y"] - (after["y"] + after["height"]) >= APART
        assert min(cancel["height"], again["height"]) >= LARGE
        assert again["y"] + again["height"] <= size[1]
        assert findings(page) == []


@pytest.mark.parametrize(
    ("answer", "words"),
    [("deny", "not allowed to open the camera"), ("", "This tablet has no camera that can be used")],
    ids=["refused", "no camera"],
)
def test_where_no_camera_opens_the_page_says_why_and_what_to_do(
    clamping: Clamping, browser: Browser, answer: str, words: str
) -> None:
    other = _browser(browser, answer=answer) if answer else browser
    for page in _tablet(clamping, browser=other):
        page.goto(clamping.scan)

        expect(page.locator("#scan-words .refused:visible")).to_contain_text(words, timeout=SLOW)
        expect(page.locator("#scan-words .refused:visible")).to_contain_text("type the serial")
        expect(page.get_by_role("button", name="Take it")).to_be_disabled()
    if answer:
        other.close()


def test_over_plain_http_from_another_machine_there_is_no_camera_and_the_page_says_why(
    clamping: Clamping,
) -> None:
    port = clamping.program.address.rpartition(":")[2]
    address = f"http://{ELSEWHERE}:{port}"
    tablet = clamping.browser.new_context(base_url=address, storage_state=_sign_in(clamping.browser, address))
    page = tablet.new_page()
    page.goto(clamping.home)
    expect(page.locator("#value-0")).to_be_visible()
    expect(page.locator(".by-camera")).to_be_hidden()

    page.goto(clamping.scan)
    expect(page.locator("#scan-words .refused:visible")).to_contain_text("comes over HTTPS")
    tablet.close()


def test_a_scan_goes_to_the_field_that_expects_it_wherever_the_focus_is(
    clamping: Clamping, page: Page
) -> None:
    page.goto(clamping.home)
    page.locator("#value-1").fill("48")

    for focus, serial in (
        ("h1", "TL-BC-0401"),
        ("#value-1", "TL-BC-0402"),
        ("#value-1", "440217"),
        ("#done", "X-9"),
    ):
        page.locator(focus).focus()
        _scan(page, serial)

        expect(page.locator("#value-0")).to_have_value(serial)
        expect(page.locator("#value-1")).to_have_value("48")
    expect(page.locator(".refused")).to_have_count(0)
    expect(page.locator("#no-scan")).to_be_hidden()


def test_held_upright_the_step_before_and_the_next_one_stand_over_the_step(clamping: Clamping) -> None:
    for page in _tablet(clamping, size=PORTRAIT):
        page.goto(clamping.home)

        last, coming, now = (page.locator(part).bounding_box() for part in (".last", ".next", ".now"))

        assert last and coming and now
        assert max(last["y"] + last["height"], coming["y"] + coming["height"]) <= now["y"]
        assert last["x"] + last["width"] <= coming["x"]
        expect(page.locator(".last")).to_contain_text(f"Step {clamping.number - 1}:")


def test_what_a_hand_types_stays_where_it_is_typed(clamping: Clamping, page: Page) -> None:
    page.goto(clamping.home)
    page.locator("#value-1").focus()

    page.keyboard.type("48.5", delay=120)
    page.wait_for_timeout(120)
    page.keyboard.press("Enter")

    expect(page.locator("#error-0")).to_contain_text("The serial is missing", timeout=SLOW)
    expect(page.locator("#value-1")).to_have_value("48.5")
    expect(page.locator("#value-0")).to_have_value("")


@pytest.mark.parametrize(
    ("focus", "words"),
    [
        ("#value-0", "This field asks for a number that is read off a tool and typed"),
        (".main-act", "Nothing on this page asks for a serial"),
    ],
)
def test_a_scan_where_none_is_expected_is_refused_and_presses_nothing(
    clamping: Clamping, page: Page, focus: str, words: str
) -> None:
    sent: list[str] = []
    page.on("request", lambda request: sent.extend([request.url] if request.method == "POST" else []))
    page.goto(f"{clamping.home}/steps/{clamping.torqued}")
    page.locator("#value-0").fill("5")

    page.locator(focus).focus()
    _scan(page, "5045")

    expect(page.locator("#no-scan")).to_contain_text(words)
    expect(page.locator("#no-scan")).to_contain_text("“5045”")
    expect(page.locator("#value-0")).to_have_value("5")
    expect(page.locator("h1")).to_be_visible()
    assert [url for url in sent if not url.endswith("/half-typed")] == []

    page.locator("h1").tap()
    expect(page.locator("#no-scan")).to_be_hidden()


def _scan(page: Page, text: str) -> None:
    """Type as a scanner does: five thousandths of a second between two keys, with Enter at the end."""
    keyboard = page.context.new_cdp_session(page)
    begun_at = time.time()
    for position, letter in enumerate((*text, "\r")):
        pressed = {
            "type": "keyDown",
            "key": "Enter" if letter == "\r" else letter,
            "text": letter,
            "timestamp": begun_at + position * 0.005,
        }
        keyboard.send("Input.dispatchKeyEvent", pressed)
    keyboard.detach()


def _begin(data: Path) -> tuple[str, int, int, int, str]:
    """Return a run before its first clamp, the number of that step, of one that asks a torque alone, and of
    one done that read a serial; and a station whose clamp may be swapped."""
    with closing(open_site(data)) as site:
        crew = runner.add_crew(site)
        run_id = asyncio.run(runner.release(site, PLAN, crew["supervisor"]))
        sheet = run_of(site, run_id).sheet
        clamp = next(step for step in sheet.lane(Lane.FLOOR) if ReadingKind.SERIAL in _kinds(step))
        torqued = next(
            step.number
            for step in sheet.lane(Lane.FLOOR)
            if step.number > clamp.number and _kinds(step) == [ReadingKind.TORQUE]
        )
        for step in (*sheet.lane(Lane.DECK), *sheet.lane(Lane.FLOOR)):
            if step.lane is Lane.DECK or step.number < clamp.number:
                asyncio.run(runner.finish(site, run_id, step, crew))
        inspected = next(step for step in sheet.lane(Lane.DECK) if ReadingKind.SERIAL in _kinds(step))
        place = next(item.place for item in swappables(run_of(site, run_id)) if "clamp" in item.item)
        return run_id, clamp.number, torqued, inspected.number, place


def _kinds(step: Step) -> list[ReadingKind]:
    return [reading.kind for reading in step.readings]
