"""The page of the camera: reached from each serial field, and only for what asks for a serial."""

import gzip

import pytest

from app.domain.operations import Operation
from app.domain.sheet import ReadingKind, Step
from tests.web.conftest import Rig, Tablet
from tests.web.html_page import Element, read_page


def _clamp(rig: Rig) -> Step:
    """Return the first step that fits a clamp, due now."""
    rig.do_deck_work()
    steps = rig.run.sheet.steps
    clamp = next(step for step in steps if step.operation is Operation.DRESS_STATION)
    rig.do_floor_until(clamp.number)
    return clamp


def _links(page: Element) -> list[str]:
    return [link.attributes["href"] for link in page.all("a", class_="button by-camera")]


def test_a_serial_on_the_page_of_the_run_leads_to_the_camera_and_back(rig: Rig, tablet: Tablet) -> None:
    clamp = _clamp(rig)
    step = f"{rig.home}/steps/{clamp.number}"

    for shown, back in ((rig.home, "?back=run"), (step, "")):
        assert _links(tablet.page(shown)) == [f"{step}/scan/0{back}"]
        page = tablet.page(f"{step}/scan/0{back}")

        scan = page.one("div", id="scan").attributes
        assert (scan["data-action"], scan["data-field"]) == (f"{step}/done", "value-0")
        assert scan["data-back"] == shown
        assert page.one("h1").text() == f"Serial of bypass clamp for step {clamp.number}"
        assert page.all("a", href=shown)


def test_a_swap_reads_the_serial_of_what_comes_in(rig: Rig, tablet: Tablet) -> None:
    swap = f"{rig.home}/swaps?place=PMP-1"
    cameras = _links(tablet.page(swap))
    assert cameras == [f"{rig.home}/swaps/scan-rejected/PMP-1", f"{rig.home}/swaps/scan/PMP-1"]

    old, new = (tablet.page(camera) for camera in cameras)

    for page, field in ((old, "old"), (new, "new")):
        scan = page.one("div", id="scan").attributes
        told = (scan["data-action"], scan["data-field"], scan["data-back"])
        assert told == (f"{rig.home}/swaps", field, swap)
    assert new.one("h1").text() == "Serial of PMP-1 for the swap of PMP-1"
    assert old.one("h1").text() == "Serial of rejected PMP-1 for the swap of PMP-1"


def test_a_serial_that_is_put_right_is_read_by_the_camera_too(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()
    done = next(step for step in rig.run.sheet.steps if step.operation is Operation.INSPECT_PART)
    at = next(place for place, item in enumerate(done.readings) if item.kind is ReadingKind.SERIAL)
    step = f"{rig.home}/steps/{done.number}"

    cameras = _links(tablet.page(step))
    page = tablet.page(cameras[0])

    scan = page.one("div", id="scan").attributes
    assert cameras == [f"{step}/correct/{at}/scan"]
    assert (scan["data-action"], scan["data-field"]) == (f"{step}/correct/{at}", f"value-{at}")
    assert scan["data-back"] == f"{step}#correct-{at}-value"
    field = tablet.page(step).one("input", id=f"correct-{at}-value").attributes
    assert "data-scan" in field
    told = f"Serial of {done.readings[at].item} for the correction of step {done.number}"
    assert page.one("h1").text() == told


def test_where_no_serial_was_read_none_is_put_right(rig: Rig, tablet: Tablet) -> None:
    clamp = _clamp(rig)
    done = next(step for step in rig.run.sheet.steps if step.operation is Operation.INSPECT_PART)
    paths = (
        f"steps/{clamp.number}/correct/0/scan",  # not done yet
        f"steps/{done.number}/correct/9/scan",
        "steps/9999/correct/0/scan",
        "swaps/scan-rejected/NOTHING",
    )

    answers = [tablet.get(f"{rig.home}/{path}") for path in paths]
    assert [answer.status_code for answer in answers] == [404] * 4
    assert "has no serial there to be put right" in answers[0].text


def test_what_is_copied_from_paper_is_not_read_by_the_camera(rig: Rig, tablet: Tablet) -> None:
    clamp = _clamp(rig)

    page = tablet.page(f"{rig.home}/from-paper")

    assert page.all("input", id=f"value-{clamp.number}000")
    assert _links(page) == []


def test_without_a_script_the_page_says_so_and_leads_back(rig: Rig, tablet: Tablet) -> None:
    clamp = _clamp(rig)

    page = tablet.page(f"{rig.home}/steps/{clamp.number}/scan/0")

    assert page.one("div", id="scan").attributes["data-state"] == "no-script"
    assert "disabled" in page.one("button", id="take").attributes


@pytest.mark.parametrize("wrong", ["1", "2", "-1"])
def test_what_is_no_serial_of_the_step_opens_no_camera(rig: Rig, tablet: Tablet, wrong: str) -> None:
    clamp = _clamp(rig)

    answer = tablet.get(f"{rig.home}/steps/{clamp.number}/scan/{wrong}")

    assert answer.status_code == 404
    assert "asks for no serial there" in answer.text


def test_a_step_that_is_done_a_step_and_a_place_that_are_not_there_open_no_camera(
    rig: Rig, tablet: Tablet
) -> None:
    rig.do_deck_work()
    done = next(step for step in rig.run.sheet.steps if step.operation is Operation.INSPECT_PART)

    paths = (f"steps/{done.number}/scan/0", "steps/9999/scan/0", "swaps/scan/", "swaps/scan/NOTHING")

    assert [tablet.get(f"{rig.home}/{path}").status_code for path in paths] == [404] * 4


def test_the_reader_is_asked_for_by_the_camera_alone_and_comes_packed(rig: Rig, tablet: Tablet) -> None:
    clamp = _clamp(rig)
    run = tablet.get(rig.home).text
    scan = tablet.page(f"{rig.home}/steps/{clamp.number}/scan/0").one("div", id="scan").attributes

    answer = tablet.get(scan["data-reader-code"])

    assert "zxing" not in run
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "application/wasm"
    assert answer.headers["content-encoding"] == "gzip"
    assert len(gzip.compress(answer.content, 9)) < 450_000
    assert answer.content.startswith(b"\0asm")


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"value-0": "TL-MTR-0011"}, "Serial TL-MTR-0011 is a MTR-1; here a bypass clamp is wanted."),
        ({"value-0": "TL-PEN-0011"}, "is a One-cable penetrator (invented); here a bypass clamp is wanted."),
        ({"value-0": "X-1"}, "Serial X-1 is not on the load-out list. Read it again"),
        ({"value-1": "TL-BC-0401"}, "torque: 'TL-BC-0401 ft·lbf' does not start with a number"),
    ],
)
def test_a_scan_of_the_wrong_kind_is_refused_beside_its_field(
    rig: Rig, tablet: Tablet, typed: dict[str, str], words: str
) -> None:
    clamp = _clamp(rig)
    values = rig.good_values(clamp.number) | typed

    answer = tablet.post(f"{rig.home}/steps/{clamp.number}/done", values)

    [field] = typed
    page = read_page(answer.text)
    assert answer.status_code == 422
    assert words in page.one("p", id=field.replace("value", "error")).text()
    assert page.one("input", id=field).attributes["value"] == typed[field]
    assert not rig.run.is_done(clamp.number)
    assert clamp.number not in rig.run.attempts
