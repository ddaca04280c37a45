"""Figures on the pages: beside the step, after a reading, stage by stage, and a cable's tests as a chart."""

from xml.etree import ElementTree

from app.domain.operations import Operation
from app.domain.sheet import ReadingKind, Step
from tests.web.conftest import Rig, Tablet

SVG = "{http://www.w3.org/2000/svg}"


def _first(rig: Rig, operation: Operation) -> Step:
    return next(step for step in rig.run.sheet.steps if step.operation is operation)


def _ticked(rig: Rig, tablet: Tablet, number: int, **changed: str) -> None:
    """Tick a step with good values, some typed otherwise; what looks like a slip was read twice."""
    values = {**rig.good_values(number), **changed}
    values |= {f"confirmed-{at}": "yes" for at in range(len(rig.run.sheet.steps[number - 1].readings))}
    assert tablet.post(f"{rig.home}/steps/{number}/done", values).status_code == 303


def test_a_torque_outside_its_window_says_on_the_step_what_to_do(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()
    step = _first(rig, Operation.TORQUE)
    rig.do_floor_until(step.number)

    _ticked(rig, tablet, step.number, **{"value-0": "400"})

    words = tablet.page(f"{rig.home}/steps/{step.number}").text()
    assert "400 ft·lbf is below the window, 450 ft·lbf to 550 ft·lbf: back it off, inspect" in words
    assert "Torque: 400 ft·lbf, below the window" in words
    assert "Margin -50 ft·lbf" in words


def test_the_page_of_the_run_goes_on_saying_what_came_out_outside(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()
    step = _first(rig, Operation.TORQUE)
    rig.do_floor_until(step.number)

    _ticked(rig, tablet, step.number, **{"value-0": "600"})

    assert "break it out and inspect both ends; do not slacken" in tablet.page(rig.home).text()


def test_a_figure_opens_to_formula_inputs_limit_and_source(rig: Rig, tablet: Tablet) -> None:
    step = _first(rig, Operation.TEST_ON_DECK)
    rig.do_deck_work()

    page = tablet.page(f"{rig.home}/figures/steps?stage={step.stage}")

    section = page.one("section", aria_labelledby=f"step-{step.number}")
    opened = section.all("details", class_="more figure")
    (figure,) = [item for item in opened if "Imbalance of the phases" in item.text()]
    words = figure.text()
    assert "Formula Greatest deviation from the mean, by the mean" in words
    assert "Limit at most 3 %" in words
    assert "NEMA MG-1" in words
    assert f"(read at step {step.number}, with T-BRIDGE)" in words


def test_before_anything_is_read_the_figures_come_from_the_plan(rig: Rig, tablet: Tablet) -> None:
    step = _first(rig, Operation.TORQUE)

    section = tablet.page(f"{rig.home}/figures/steps?stage={step.stage}").one(
        "section", aria_labelledby=f"step-{step.number}"
    )

    assert "From the plan; nothing is read yet" in section.text()
    assert "Pull on T-WRENCH: 100 lbf, in window" in section.text()


def test_what_is_outside_is_listed_over_the_stages(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()
    step = _first(rig, Operation.TORQUE)
    rig.do_floor_until(step.number)
    before = tablet.page(f"{rig.home}/figures/steps").text()

    _ticked(rig, tablet, step.number, **{"value-0": "400"})

    listed = tablet.page(f"{rig.home}/figures/steps?stage=nowhere").one("section", aria_labelledby="outside")
    assert "Outside their limits" not in before
    assert "Torque: 400 ft·lbf, below the window" in listed.text()


def test_a_fall_of_insulation_since_the_test_before_is_told_although_each_passes(
    finished: Rig,
) -> None:
    tests = [step for step in finished.run.sheet.steps if step.operation is Operation.TEST_CABLES]
    before, last = [step for step in tests if step.parts == tests[-1].parts][-2:]
    at = next(at for at, wanted in enumerate(before.readings) if wanted.kind is ReadingKind.INSULATION)
    path = f"{finished.home}/steps/{before.number}"

    # Twelve times what the last test read.
    sent = {f"value-{at}": "9000", f"unit-{at}": "Mohm", f"confirmed-{at}": "yes", "reason": "misread"}
    answer = finished.tablet.send(path, f"{path}/correct/{at}", sent)

    assert answer.status_code == 303
    assert "It kept only" in finished.tablet.page(f"{finished.home}/steps/{last.number}").text()


def test_the_tests_of_a_cable_stand_in_a_table_and_a_chart(finished: Rig) -> None:
    path = f"{finished.home}/cables/MC-1"

    page = finished.tablet.page(path)
    chart = finished.tablet.get(f"{path}/chart")

    rows = page.one("table").one("tbody").all("tr")
    root = ElementTree.fromstring(chart.content)
    circles = root.findall(f"{SVG}circle")
    assert len(rows) >= 3
    assert page.one("img").attributes["src"].startswith(f"{path}/chart?seen=")
    assert root.findtext(f"{SVG}title") == "Tests of cable MC-1"
    # As read and compared, and three phases, at each test.
    assert len(circles) == 5 * len(rows)


def test_a_cable_that_was_not_tested_yet_says_so_and_has_an_empty_chart(rig: Rig, tablet: Tablet) -> None:
    page = tablet.page(f"{rig.home}/cables/MC-1")
    chart = tablet.get(f"{rig.home}/cables/MC-1/chart")

    assert "It has not been tested yet." in page.text()
    assert "Not tested yet" in (ElementTree.fromstring(chart.content).findtext(f"{SVG}desc") or "")


def test_there_is_no_page_of_a_cable_that_the_plan_does_not_have(rig: Rig, tablet: Tablet) -> None:
    for path in ("/cables/MC-9", "/cables/MC-9/chart"):
        assert tablet.get(rig.home + path).status_code == 404


def test_a_chart_is_kept_by_the_browser_and_has_its_own_palette(finished: Rig) -> None:
    path = f"{finished.home}/cables/MC-1/chart"

    first = finished.tablet.get(path)
    again = finished.tablet.ask("GET", path, headers={"If-None-Match": first.headers["etag"]})
    finished.tablet.client.cookies.set("palette", "night")
    night = finished.tablet.get(path)

    assert again.status_code == 304
    assert "@media screen and (prefers-color-scheme:dark){" in first.text
    assert "@media screen{" in night.text
