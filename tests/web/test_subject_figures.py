"""Every figure of a plan and of a run on its page and over the API, and those of the current step."""

import json

from app.domain.figures.subjects.basis import Subject
from app.domain.operations import Operation
from app.domain.sheet import Lane
from app.services import figures as service
from app.services.plans import all_plans, keep_plan
from app.services.plans import plan_of as kept_of
from tests.web.conftest import Rig, Tablet

HEADS = ("Formula", "Result", "Limit", "Source")


def measured_long(rig: Rig, tablet: Tablet, joint: str = "BP-02", feet: str = "31.9") -> int:
    """Measure a joint longer than planned and return the step at which it was read.

    With BP-02 so long the legs do not close.
    """
    number = next(
        step.number
        for step in rig.run.sheet.steps
        if step.operation is Operation.MEASURE and step.parts == (joint,)
    )
    typed = {**rig.good_values(number), "value-0": feet, "confirmed-0": "yes"}
    assert tablet.post(f"{rig.home}/steps/{number}/done", typed).status_code == 303
    return number


def to_the_first_step_with(rig: Rig, part: str) -> int:
    """Bring a run to the first floor step that handles a part, the deck work done, and return its number."""
    number = next(step.number for step in rig.run.sheet.lane(Lane.FLOOR) if part in step.parts)
    for step in rig.run.sheet.lane(Lane.DECK):
        if not rig.run.is_done(step.number):
            answer = rig.tablet.post(f"{rig.home}/steps/{step.number}/done", rig.good_values(step.number))
            assert answer.status_code == 303
    rig.do_floor_until(number)
    return number


def plan_path(rig: Rig) -> str:
    return f"/plans/{all_plans(rig.site)[0].id}/figures"


def test_each_subject_of_a_plan_is_a_tap_away_and_each_figure_opens(rig: Rig, tablet: Tablet) -> None:
    pages = {subject: tablet.page(f"{plan_path(rig)}?subject={subject}") for subject in Subject}

    for subject, page in pages.items():
        (chosen,) = [link for link in page.all("a") if link.attributes.get("aria-current") == "page"]
        figures = page.all("details", class_="more figure row-figure")
        assert chosen.text().startswith(subject[:1].upper() + subject[1:])
        assert figures, subject
        for figure in figures:
            assert all(head in figure.text() for head in HEADS), (subject, figure.text())


def test_a_figure_says_value_verdict_limit_and_margin_before_it_is_opened(rig: Rig, tablet: Tablet) -> None:
    page = tablet.page(f"{plan_path(rig)}?subject=leg closure")

    (summary,) = [
        item for item in page.all("summary") if item.text().startswith("Extension of the swivel of YB-1:")
    ]
    assert "6.000 in" in summary.text()
    assert "In window · 1.5 in to 10.500 in · margin 4.500 in" in summary.text()
    assert summary.one("span", class_="verdict verdict-done").text() == "In window"
    assert summary.all("svg")


def test_a_plan_inside_its_limits_says_so(rig: Rig, tablet: Tablet) -> None:
    section = tablet.page(plan_path(rig)).one("section", aria_labelledby="outside")

    assert section.text() == "Nothing is outside its limits"


def test_a_plan_that_is_stopped_shows_what_stops_it_first_and_does_without_its_sheet(
    rig: Rig, tablet: Tablet
) -> None:
    kept = all_plans(rig.site)[0]
    text = kept_of(rig.site, kept.id).text.replace('length = "31.20 ft"', 'length = "33.20 ft"')
    stopped = keep_plan(rig.site, "too long", text, rig.crew["supervisor"])

    page = tablet.page(f"/plans/{stopped.id}/figures")

    outside = page.one("section", aria_labelledby="outside").text()
    assert "Outside their limits" in outside
    assert "The bypass leg is too long for the swivel" in outside
    assert "No sheet can be made of the plan while a finding stops it" in page.text()


def test_a_plan_whose_shape_is_not_whole_says_what_to_mend(rig: Rig, tablet: Tablet) -> None:
    kept = all_plans(rig.site)[0]
    text = kept_of(rig.site, kept.id).text.replace('at = "SEAL-1", end', 'at = "SEAL-7", end')
    broken = keep_plan(rig.site, "broken", text, rig.crew["supervisor"])

    answer = tablet.get(f"/plans/{broken.id}/figures")

    assert answer.status_code == 422
    assert "No figure can be worked out yet" in answer.text
    assert "SEAL-7" in answer.text


def test_a_joint_measured_too_long_is_told_first_in_the_run(rig: Rig, tablet: Tablet) -> None:
    number = measured_long(rig, tablet)

    page = tablet.page(f"{rig.home}/figures")

    outside = page.one("section", aria_labelledby="outside")
    first = outside.all("details", class_="more figure row-figure outside")[0].text()
    assert "Extension of the swivel of YB-1: -2.400 in" in first
    assert "Below the window" in first
    assert f"31.9 ft (measured at step {number})" in first
    assert "For mid stroke move the mark" in first


def test_the_current_step_says_so_where_it_handles_that_joint_and_no_other_step_does(
    rig: Rig, tablet: Tablet
) -> None:
    measured_long(rig, tablet)
    to_the_first_step_with(rig, "BP-02")

    with_joint = tablet.page(rig.home)
    other = tablet.page(f"{rig.home}/steps/{rig.run.sheet.steps[-1].number}")

    assert "The bypass leg is too long for the swivel" in with_joint.one("section", class_="now").text()
    assert "figures that this step depends on are outside their limits" in with_joint.text()
    assert "outside their limits" not in other.text()


def test_a_step_of_a_run_inside_its_limits_says_nothing(rig: Rig, tablet: Tablet) -> None:
    to_the_first_step_with(rig, "BP-02")

    assert "outside" not in tablet.page(rig.home).one("section", class_="now").text()


def test_clamps_that_ran_short_are_told_at_the_step_that_needs_one(rig: Rig, tablet: Tablet) -> None:
    step = next(step for step in rig.run.sheet.steps if step.dressed is not None)
    rig.do_deck_work()
    rig.do_floor_until(step.number)
    left = [serial for serial, item in rig.run.load_out.items() if item == "bypass clamp"][3:]
    before = tablet.page(rig.home).text()
    sent: dict[str, str | list[str]] = {"serial": left, "settlement": "rejected", "reason": "cracked"}
    settled = tablet.post(f"{rig.home}/load-out/settle", sent)

    after = tablet.page(rig.home).text()

    assert settled.status_code == 303, settled.text
    assert "are to be fitted still: bring more" not in before
    assert "are to be fitted still: bring more" in after


def test_loads_and_depths_can_be_looked_at_once_any_step_is_done(rig: Rig, tablet: Tablet) -> None:
    page = tablet.page(f"{rig.home}/figures?subject=loads&step=90")

    links = [link.attributes.get("href", "") for link in page.all("a")]
    assert "Loads, once step 90 is done" in page.text()
    assert "Slings LG-SG, LC-538 on PMP-1" in page.text()
    assert f"{rig.home}/figures?subject=loads&step=91" in links
    assert f"{rig.home}/figures?subject=loads" in links


def test_a_step_that_is_not_in_the_sheet_is_refused(rig: Rig, tablet: Tablet) -> None:
    assert tablet.get(f"{rig.home}/figures?step=5000").status_code == 404


def test_room_of_a_run_goes_by_what_was_measured(rig: Rig, tablet: Tablet) -> None:
    before = tablet.page(f"{rig.home}/room").text()
    measured_long(rig, tablet, "BP-01", "20.9")

    after = tablet.page(f"{rig.home}/room").text()

    # Half a foot more under the mark lifts the Y-block by as much.
    assert "245.64 ft to 252.24 ft" in before
    assert "245.14 ft to 251.74 ft" in after


def test_the_menu_of_a_run_and_the_page_of_a_plan_lead_there(rig: Rig, tablet: Tablet) -> None:
    in_run = [link.attributes.get("href") for link in tablet.page(rig.home).all("a")]
    in_plan = [
        link.attributes.get("href") for link in tablet.page(plan_path(rig)[: -len("/figures")]).all("a")
    ]

    assert {f"{rig.home}/figures", f"{rig.home}/room"} <= set(in_run)
    assert plan_path(rig) in in_plan


def test_the_same_state_of_a_run_is_worked_out_once(rig: Rig, tablet: Tablet) -> None:
    tablet.page(f"{rig.home}/figures")
    before = service._of_run.cache_info()

    tablet.page(f"{rig.home}/figures?subject=torque")

    after = service._of_run.cache_info()
    assert (after.hits, after.misses) == (before.hits + 1, before.misses)


def test_a_tick_that_measures_nothing_leaves_the_string_as_it_was_worked_out(
    rig: Rig, tablet: Tablet
) -> None:
    rig.do_deck_work()
    rig.do_floor_until(rig.run.floor_next)
    tablet.page(rig.home)
    before = service._standing.cache_info()

    tablet.post(f"{rig.home}/steps/{rig.run.floor_next}/done", rig.good_values(rig.run.floor_next))
    tablet.page(rig.home)

    assert service._standing.cache_info().misses == before.misses


def test_the_api_has_the_same_figures(rig: Rig, tablet: Tablet) -> None:
    number = measured_long(rig, tablet)

    run = json.loads(tablet.get(f"/api/runs/{rig.run_id}/figures").text)
    plan = json.loads(tablet.get(f"/api{plan_path(rig)}?subject=leg closure").text)

    (figure,) = [item for item in run["figures"] if item["name"] == "extension of the swivel of YB-1"]
    assert (figure["value"], figure["outside"], figure["verdict"]) == ("-2.400 in", True, "below the window")
    assert {"name": "BP-02", "text": "31.9 ft", "origin": f"measured at step {number}"} in figure["inputs"]
    assert run["outside"] == sum(item["outside"] for item in run["figures"])
    assert {item["subject"] for item in run["figures"]} == set(Subject)
    assert {item["subject"] for item in plan["figures"]} == {"leg closure"}


def test_the_api_has_closures_and_sections_of_plan_and_run(rig: Rig, tablet: Tablet) -> None:
    measured_long(rig, tablet)
    plan = plan_path(rig)[: -len("/figures")]

    legs = [json.loads(tablet.get(f"/api{home}/legs").text) for home in (plan, rig.home)]
    rooms = [json.loads(tablet.get(f"/api{home}/room").text) for home in (plan, rig.home)]

    assert [answer["systems"][0]["extension"] for answer in legs] == ["6.000 in", "-2.400 in"]
    assert [answer["systems"][0]["measured"] for answer in legs] == [0, 1]
    blocks = [next(one for one in room["sections"] if one["what"] == "YB-1") for room in rooms]
    assert blocks[0]["casings"][0]["left_in_drift"] == "0.275 in"
    assert blocks[0]["standing"] == "fits"
    # The joint under the block is 0.70 ft longer, and its swivel would have to go in by as much.
    assert blocks[0]["top"] == blocks[1]["top"] == "245.64 ft"


def test_the_api_refuses_what_is_not_there(rig: Rig, tablet: Tablet) -> None:
    for path in ("/api/runs/none/figures", "/api/plans/none/figures", f"/api{rig.home}/figures?step=9000"):
        assert tablet.get(path).status_code == 404, path


def test_figures_of_a_subject_that_is_none_are_refused_with_those_that_are(rig: Rig, tablet: Tablet) -> None:
    answer = tablet.get(f"/api{rig.home}/figures?subject=lodas")

    assert answer.status_code == 404
    assert "Choose one of: tally and depth, leg closure" in json.loads(answer.text)["detail"]
