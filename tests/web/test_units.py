"""Units of the figures: chosen in two taps, what was typed stays, and no verdict changes with them."""

import re
from xml.etree import ElementTree

import pytest

from app.domain.operations import Operation
from app.domain.run import Run
from app.domain.sheet import Step
from tests.web.conftest import ADDRESS, HTMX, Rig, Tablet
from tests.web.html_page import read_page

PAGES = (
    "",
    "/sheet",
    "/sheet?stage=deck",
    "/string",
    "/at-step",
    "/legs",
    "/room",
    "/figures",
    "/figures/steps",
    "/cables/MC-1",
    "/hold-points",
    "/load-out",
    "/log",
    "/close-out",
    "/hold",
    "/handover",
    "/handover/sheet",
    "/deviations",
    "/back-out",
)
SVG = "{http://www.w3.org/2000/svg}"


def _torque(run: Run) -> Step:
    return next(step for step in run.sheet.steps if step.operation is Operation.TORQUE)


def _choose(tablet: Tablet, units: str) -> None:
    assert tablet.post("/display", {"units": units}).status_code == 303


@pytest.fixture
def at_torque(rig: Rig) -> Rig:
    """Return a run of which the current step is the first torque."""
    rig.do_deck_work()
    rig.do_floor_until(_torque(rig.run).number)
    return rig


def test_the_menu_of_a_run_changes_its_limits_and_leaves_what_the_plan_says(
    at_torque: Rig, tablet: Tablet
) -> None:
    before = tablet.page(at_torque.home)
    buttons = [button.text() for button in before.one("section", class_="units").all("button")]

    _choose(tablet, "si")
    words = tablet.page(at_torque.home).text()

    assert [text.split()[0] for text in buttons] == ["As", "Field", "SI"]
    assert "Between 450 ft·lbf and 550 ft·lbf, best 500 ft·lbf" in before.text()
    assert "Between 450 ft·lbf (611 N·m) and 550 ft·lbf (745 N·m), best 500 ft·lbf (678 N·m)" in words
    assert "target 500 ft·lbf (678 N·m)." in words


def test_the_form_offers_the_units_unit_first_and_records_what_was_typed(
    at_torque: Rig, tablet: Tablet
) -> None:
    step = _torque(at_torque.run)
    _choose(tablet, "si")
    path = f"{at_torque.home}/steps/{step.number}"

    offered = tablet.page(path).one("select", id="unit-0").all("option")
    tablet.post(f"{path}/done", at_torque.good_values(step.number) | {"value-0": "500", "unit-0": "ft*lbf"})

    assert offered[0].text() == "N·m"
    assert offered[0].attributes["value"] == "N*m"
    assert "selected" in offered[0].attributes
    taken = at_torque.run.done[step.number].readings[0]
    assert (taken.value, taken.unit) == ("500", "ft*lbf")
    assert "Torque: 500 ft·lbf (678 N·m)" in tablet.page(path).text()


def test_a_refused_form_comes_back_with_the_unit_that_was_typed(at_torque: Rig, tablet: Tablet) -> None:
    step = _torque(at_torque.run)
    _choose(tablet, "si")

    path = f"{at_torque.home}/steps/{step.number}"
    typed = at_torque.good_values(step.number) | {"value-0": "5000", "unit-0": "ft*lbf", "back": "step"}
    answer = tablet.post(f"{path}/done", typed)

    page = read_page(answer.text)
    (chosen,) = [
        option for option in page.one("select", id="unit-0").all("option") if "selected" in option.attributes
    ]
    assert answer.status_code == 422
    assert chosen.text() == "ft·lbf"
    assert "5000 ft·lbf (6779 N·m) is about ten times 500 ft·lbf (678 N·m)" in page.text()


def test_a_reading_outside_is_outside_in_every_system(at_torque: Rig, tablet: Tablet) -> None:
    step = _torque(at_torque.run)
    path = f"{at_torque.home}/steps/{step.number}"
    tablet.post(f"{path}/done", at_torque.good_values(step.number) | {"value-0": "449.9"})

    told: dict[str, str] = {}
    for units in ("plan", "field", "si"):
        _choose(tablet, units)
        told[units] = tablet.page(path).text()

    assert all("below the window" in words for words in told.values())
    assert "Torque: 449.9 ft·lbf (609 N·m), below the window" in told["si"]
    assert "449.9 ft·lbf (609 N·m) is below the window, 450 ft·lbf (611 N·m) to" in told["si"]
    assert "Margin -1 N·m" in told["si"]
    assert "Torque: 449.9 ft·lbf, below the window" in told["field"]


def test_after_the_choice_the_same_page_stands_there_with_what_was_asked_for(
    rig: Rig, tablet: Tablet
) -> None:
    address = f"{rig.home}/at-step?step=60"

    plain = tablet.ask("POST", "/display", _sent("si"), {"Referer": f"{ADDRESS}{address}"})
    by_htmx = tablet.ask("POST", "/display", _sent("si"), HTMX | {"HX-Current-URL": f"{ADDRESS}{address}"})
    lost = tablet.ask("POST", "/display", _sent("si"), {"Referer": "//elsewhere.example/x"})

    assert plain.headers["location"] == address
    assert by_htmx.headers["hx-redirect"] == address
    assert lost.headers["location"] == "/x"


def test_a_unit_system_that_nobody_knows_changes_nothing(rig: Rig, tablet: Tablet) -> None:
    answer = tablet.post("/display", {"units": "furlongs"})

    assert "set-cookie" not in answer.headers


def test_depths_loads_and_the_axes_of_the_chart_are_in_the_chosen_system(rig: Rig, tablet: Tablet) -> None:
    address = f"{rig.home}/at-step"
    at_end = f"?step={len(rig.run.sheet.steps)}"
    _choose(tablet, "si")
    words = tablet.page(address + at_end).text()
    chart = tablet.get(f"{address}/hook-load{at_end}")
    _choose(tablet, "field")
    other = tablet.ask(
        "GET", f"{address}/hook-load{at_end}", headers={"If-None-Match": chart.headers["etag"]}
    )

    assert "load in kg, depth in m" in _texts(chart.content)
    assert "load in lb, depth in ft" in _texts(other.content)
    assert other.status_code == 200
    assert "Depth of the base" in words


def test_the_pages_of_a_plan_are_told_in_the_chosen_system(rig: Rig, tablet: Tablet) -> None:
    plan = next(item for item in tablet.page("/").all("a") if "/plans/" in item.attributes["href"])
    address = plan.attributes["href"]
    before = tablet.page(f"{address}/legs").text()

    _choose(tablet, "si")

    assert " mm" not in before
    assert " mm" in tablet.page(f"{address}/legs").text()
    assert " mm left" in tablet.page(f"{address}/room").text()
    assert "target 500 ft·lbf (678 N·m)." in tablet.page(address).text()
    assert tablet.page(address).one("section", class_="units")


def test_the_record_stays_as_typed(finished: Rig) -> None:
    before = finished.tablet.get(f"/api/runs/{finished.run_id}/sheet")
    _choose(finished.tablet, "si")

    assert finished.tablet.get(f"/api/runs/{finished.run_id}/sheet").content == before.content


@pytest.mark.parametrize("units", ["plan", "field", "si"])
def test_every_page_of_a_run_writes_units_as_people_do_and_tells_the_worth_of_what_was_typed(
    finished: Rig, units: str
) -> None:
    _choose(finished.tablet, units)

    for page in PAGES:
        words = finished.tablet.page(finished.home + page).text()

        assert not re.search(r"ft\*lbf|N\*m|deg[CF]|\d [kMG]?ohm", words), page
        if units == "si":
            assert not re.search(r"\d (?:ft·lbf|psi|lb|°F)(?! \(| per)(?![\w/·])", words), page


def _sent(units: str) -> dict[str, str]:
    return {"units": units, "key": f"a-key-of-its-own-{units}"}


def _texts(svg: bytes) -> str:
    return " ".join(item.text or "" for item in ElementTree.fromstring(svg).iter(f"{SVG}text"))
