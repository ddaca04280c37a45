"""Loads, depths, counts and time of a run on its page: as it stands, and at any step."""

from xml.etree import ElementTree

import pytest

from app.domain.sheet import ReadingKind
from tests.web.conftest import Rig, Tablet

SVG = "{http://www.w3.org/2000/svg}"


def lowered(rig: Rig) -> int:
    """Return the number of the first step at which the weight indicator is read."""
    return next(
        step.number
        for step in rig.run.sheet.steps
        if any(wanted.kind is ReadingKind.HOOK_LOAD for wanted in step.readings)
    )


def test_before_anything_hangs_the_page_says_so(rig: Rig, tablet: Tablet) -> None:
    words = tablet.page(f"{rig.home}/at-step").text()

    assert "Before the first step on the floor." in words
    assert "Nothing hangs in the hole yet." in words
    assert "Nothing hangs over the hole." in words
    assert "The weight indicator has not been read in this run." in words
    assert "None has gone on yet." in words
    assert "Deck work is critical" in words


def test_the_page_is_that_after_the_last_floor_step_done(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()
    rig.do_floor_until(65)

    page = tablet.page(f"{rig.home}/at-step")

    assert "After step 64" in page.text()
    depths = page.one("section", aria_labelledby="depths").text()
    assert "Stick-up over the table: 3.94 ft" in depths
    assert "Friction is left out" in page.one("section", aria_labelledby="hook").text()
    assert "2 of 2 joints in" in depths
    assert "Slips LG-SL-287 on BP-02" in page.one("section", aria_labelledby="supports").text()


def test_a_step_ahead_is_shown_as_it_would_be(rig: Rig, tablet: Tablet) -> None:
    last = len(rig.run.sheet.steps)

    words = tablet.page(f"{rig.home}/at-step?step={last}").text()

    assert f"As it would be once every step up to {last} is done" in words
    assert "8 of 8 joints in" in words


def test_steps_beside_it_and_ends_of_stages_are_one_tap_away(rig: Rig, tablet: Tablet) -> None:
    links = [link.attributes["href"] for link in tablet.page(f"{rig.home}/at-step?step=90").all("a")]

    wanted = [89, 91, *(stage.last for stage in rig.run.sheet.stages)]
    assert {f"{rig.home}/at-step?step={number}" for number in wanted} <= set(links)
    assert f"{rig.home}/at-step" in links


def test_a_figure_opens_to_formula_inputs_limit_and_source(rig: Rig, tablet: Tablet) -> None:
    words = tablet.page(f"{rig.home}/at-step?step=90").one("section", aria_labelledby="supports").text()

    assert "Slings LG-SG, LC-538 on PMP-1" in words
    assert "Tension in each leg of LG-SG" in words
    assert "Weight / (legs x sin angle)" in words
    assert "at most 3.75 t" in words
    assert "29 CFR 1910.184" in words


def test_a_reading_far_off_is_asked_about_where_it_was_typed(rig: Rig, tablet: Tablet) -> None:
    number = lowered(rig)
    rig.do_deck_work()
    rig.do_floor_until(number)
    path = f"{rig.home}/steps/{number}/done"

    asked = tablet.send(rig.home, path, {"value-0": "20000", "unit-0": "lb"})
    taken = tablet.send(rig.home, path, {"value-0": "20000", "unit-0": "lb", "confirmed-0": "yes"})

    assert asked.status_code == 422
    assert "off what should hang" in asked.text
    assert taken.status_code == 303
    assert "the string may be stuck on the way up" in tablet.page(rig.home).text()
    words = tablet.page(f"{rig.home}/at-step").text()
    assert f"Step {number}, weight indicator 20000 lb against" in words
    assert "the string may be stuck on the way up" in words


def test_a_step_is_ticked_without_a_reading_of_the_weight_indicator(rig: Rig, tablet: Tablet) -> None:
    number = lowered(rig)
    rig.do_deck_work()
    rig.do_floor_until(number)

    shown = tablet.page(rig.home).text()
    answer = tablet.send(rig.home, f"{rig.home}/steps/{number}/done")

    assert "Leave it empty where it was not read" in shown
    assert "expected hook load" in shown
    assert answer.status_code == 303
    assert rig.run.is_done(number)


def test_counts_and_time_stand_in_tables(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()
    rig.do_floor_until(64)

    page = tablet.page(f"{rig.home}/at-step")

    counts = page.one("section", aria_labelledby="counts").text()
    time = page.one("section", aria_labelledby="time").text()
    assert "Bypass clamp" in counts
    assert "LG-NB-287" in counts
    assert "Expected end 2026-03-0" in time
    assert "Deck work 47 of 47 done" in time


@pytest.mark.parametrize(
    ("name", "title"),
    [
        ("hook-load?step=150", "Hook load against depth of the base"),
        ("stages", "Stages: planned, and as they come out"),
    ],
)
def test_a_chart_says_in_words_what_it_shows_and_brings_its_own_style(
    rig: Rig, tablet: Tablet, name: str, title: str
) -> None:
    answer = tablet.get(f"{rig.home}/at-step/{name}")

    root = ElementTree.fromstring(answer.content)
    assert answer.status_code == 200
    assert root.findtext(f"{SVG}title") == title
    assert len(root.findtext(f"{SVG}desc") or "") > 60
    assert "style-src 'sha256-" in answer.headers["content-security-policy"]


@pytest.mark.parametrize("name", ["", "/hook-load", "/stages"])
def test_what_is_not_there_is_not_found(rig: Rig, tablet: Tablet, name: str) -> None:
    assert tablet.get(f"/runs/none/at-step{name}").status_code == 404


def test_a_step_that_is_not_in_the_sheet_is_refused_in_words(rig: Rig, tablet: Tablet) -> None:
    answer = tablet.get(f"{rig.home}/at-step?step=5000")

    assert answer.status_code in (404, 422)
    assert "5000" in answer.text


def test_the_menu_of_a_run_leads_there(rig: Rig, tablet: Tablet) -> None:
    links = [link.attributes["href"] for link in tablet.page(rig.home).all("a") if "href" in link.attributes]

    assert f"{rig.home}/at-step" in links
