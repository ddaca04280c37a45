"""The sheet of a plan before its release: changed step by step on the pages, proven again, taken back."""

import pytest

from app.demo import demo_plan_text
from app.domain.edits.findings import LEFT_OUT
from app.services.plans import all_plans, edits_of
from app.services.runs import all_runs, run_of
from tests import runner
from tests.web.conftest import Rig, Tablet, Values
from tests.web.html_page import Element, form_to, forms_of, read_page

SLIPS = 64  # set the slips on BP-02, in the stage of the first lift
TEST = 85  # the electrical test behind the pothead
SAFETY = 99  # fit the safety clamp
PIN = {"pin": runner.PINS["Test Supervisor"]}


@pytest.fixture
def plan(rig: Rig) -> str:
    """Return the address of the plan that the rig's run was released from."""
    return f"/plans/{all_plans(rig.site)[0].id}"


def changed(tablet: Tablet, plan: str, number: int, act: str, typed: Values) -> str:
    """Change a step by its form, as it stands on the page, and return where that leads."""
    answer = tablet.send(
        f"{plan}/steps/{number}", f"{plan}/steps/{number}/{act}", {"why": "site rule", **typed}
    )
    assert answer.status_code == 303, read_page(answer.text).text()
    return str(answer.headers["location"])


def row(page: Element, number: int) -> Element:
    """Return the row of a step in the sheet."""
    return next(
        item
        for item in page.all("li", class_="plan-row")
        if item.all("span", class_="number")[0].text() == str(number)
    )


def test_the_sheet_shows_every_stage_and_the_steps_of_one(rig: Rig, tablet: Tablet, plan: str) -> None:
    first = tablet.page(f"{plan}/sheet")
    landing = tablet.page(f"{plan}/sheet?stage=landing")
    at = tablet.page(f"{plan}/sheet?at=BP-02/set-slips")

    stages = rig.run.sheet.stages
    tabs = first.one("nav", aria_label="Stages").all("a")
    assert len(tabs) == len(stages)
    assert len(first.all("li", class_="plan-row")) == stages[0].last
    assert "Hold point before this stage" in landing.text()
    assert row(at, SLIPS).attributes["id"] == "at-BP-02/set-slips"


def test_a_step_goes_up_and_down_by_one(tablet: Tablet, plan: str) -> None:
    page = tablet.page(f"{plan}/steps/{TEST}")
    up, down = (
        box.attributes["value"]
        for box in page.one("details", id="move").all("input", name="place")
        if box.attributes["value"] != "named"
    )
    text = page.one("h1").text()

    changed(tablet, plan, TEST, "move", {"place": up})
    assert tablet.page(f"{plan}/steps/{TEST - 1}").one("h1").text() == text
    changed(tablet, plan, TEST - 1, "move", {"place": down})

    assert tablet.page(f"{plan}/steps/{TEST + 1}").one("h1").text() == text


def test_the_second_step_of_a_stage_goes_up_to_its_start(tablet: Tablet, plan: str) -> None:
    place = tablet.page(f"{plan}/steps/49").one("input", id="move-place-1").attributes["value"]

    landing = changed(tablet, plan, 49, "move", {"place": place})

    assert place == "start first-lift-pump"
    assert "Step 49" not in tablet.page(landing).one("h1").text()
    assert (
        "BP-01/fit-lift-nubbin"
        in tablet.page(f"{plan}/sheet?stage=first-lift-pump").all("li", class_="plan-row")[0].attributes["id"]
    )


def test_a_step_goes_behind_the_step_of_a_number(tablet: Tablet, plan: str) -> None:
    text = tablet.page(f"{plan}/steps/{TEST}").one("h1").text()

    landing = changed(tablet, plan, TEST, "move", {"place": "named", "named": "119"})

    assert landing.endswith("#at-ML-1%2Felectrical-test")
    assert text in row(tablet.page(landing), 119).text()


def test_a_form_that_names_a_place_by_number_and_is_sent_twice_is_answered_alike(
    rig: Rig, tablet: Tablet, plan: str
) -> None:
    place = f"{plan}/steps/{TEST}/move"
    form = form_to(tablet.page(f"{plan}/steps/{TEST}"), place)
    # Once the step is moved, the number that was typed is that of another step.
    sent = {**form.values, "why": "site rule", "place": "named", "named": str(TEST + 2)}

    first, again = tablet.ask("POST", place, sent), tablet.ask("POST", place, sent)

    assert (first.status_code, again.status_code) == (303, 303)
    assert first.headers["location"] == again.headers["location"]
    assert len(edits_of(rig.site, plan.rpartition("/")[2])) == 1


def test_a_step_reads_as_it_was_reworded_and_says_who_changed_it_and_why(tablet: Tablet, plan: str) -> None:
    landing = changed(tablet, plan, SLIPS, "reword", {"text": "Set the small slips.", "why": "two sizes"})

    shown = row(tablet.page(landing), SLIPS).text()
    assert shown.startswith(f"{SLIPS}Set the small slips.")
    assert "now reads 'Set the small slips.'" in shown
    assert "Reworded: change 1, Test Supervisor (supervisor)" in shown
    assert "“two sizes”" in shown


def test_an_own_step_follows_and_a_first_one_stands_behind_the_hold_point(tablet: Tablet, plan: str) -> None:
    own = {"text": "Watch <b>the</b> weather.", "role": "driller"}
    place = tablet.page(f"{plan}/steps/48").one("input", id="add-place-2").attributes["value"]

    landing = changed(tablet, plan, 48, "add", {**own, "place": place})
    changed(tablet, plan, TEST + 1, "add", {**own, "place": "after ML-1/electrical-test"})

    assert "own-step%2F1" in landing
    assert "Watch <b>the</b> weather. driller" in row(tablet.page(landing), 48).text().replace(
        "driller", " driller"
    )
    assert tablet.page(f"{plan}/steps/{TEST + 2}").one("h1").text() == "Watch <b>the</b> weather."


def test_a_test_is_made_once_more_and_what_happens_once_is_not_offered(tablet: Tablet, plan: str) -> None:
    landing = changed(tablet, plan, TEST, "repeat", {"place": "after ML-1/electrical-test"})

    assert row(tablet.page(landing), TEST + 1).attributes["id"] == "at-repeat/1"
    assert tablet.page(f"{plan}/steps/60").all("details", id="repeat") == []


def test_a_breach_stands_at_its_step_with_the_mend_and_the_plan_is_not_released(
    rig: Rig, tablet: Tablet, plan: str
) -> None:
    landing = changed(tablet, plan, SAFETY, "drop", {"why": "not on site"})

    page = tablet.page(landing)
    first = page.one("section", aria_labelledby="breaches").all("a")[0]
    assert "To mend it:" in first.text()
    number = int(first.attributes["href"].rpartition("/")[2])
    at_its_step = row(page, number).one("ul", class_="problems").text()
    assert first.text().removeprefix(f"Step {number}") in at_its_step
    assert "To mend it:" in tablet.page(first.attributes["href"]).text()
    assert "Left out of this stage" in page.text()
    assert "that stop" in page.one("nav", aria_label="Stages").text()
    refused = tablet.post(f"{plan}/release", {**PIN, "seen": "1"})
    assert refused.status_code == 422
    assert len(all_runs(rig.site)) == 1


def test_a_change_taken_back_leaves_the_compiled_sheet_and_both_in_the_list(
    tablet: Tablet, plan: str
) -> None:
    changed(tablet, plan, SAFETY, "drop", {"why": "not on site"})

    path = f"{plan}/changes"
    without_why = tablet.send(path, f"{path}/1/take-back")
    answer = tablet.send(path, f"{path}/1/take-back", {"why": "it came after all"})

    assert (without_why.status_code, answer.status_code) == (422, 303)
    assert "Say why" in read_page(without_why.text).text()
    listed = tablet.page(path)
    assert "Taken back by Test Supervisor (supervisor), because 'it came after all'." in listed.text()
    assert [card.one("h2").text() for card in listed.all("section", class_="card")] == [
        "Change 2",
        "Change 1, taken back",
    ]
    assert "0 that stop" in tablet.page(plan).text()


def test_a_released_run_has_the_changed_sheet(rig: Rig, tablet: Tablet, plan: str) -> None:
    changed(tablet, plan, TEST, "repeat", {"place": "after ML-1/electrical-test"})
    changed(tablet, plan, TEST, "drop", {"why": "once is enough"})
    page = tablet.page(plan)
    boxes = [box.attributes["value"] for box in page.all("input", name="accepted")]

    released = tablet.send(plan, f"{plan}/release", {**PIN, "accepted": boxes})

    assert "The sheet is released with these changes" in page.text()
    assert [box.partition(" ")[0] for box in boxes] == [LEFT_OUT]
    run = run_of(rig.site, released.headers["location"].removeprefix("/runs/"))
    assert [change.why for change in run.sheet.changes] == ["site rule", "once is enough"]
    assert rig.run.sheet.changes == ()


def test_a_sheet_that_changed_since_it_was_shown_is_not_released_or_changed(
    rig: Rig, tablet: Tablet, plan: str
) -> None:
    stale = next(form for form in forms_of(tablet.page(plan)) if form.action.endswith("/release"))
    step = tablet.page(f"{plan}/steps/{TEST}")
    form = next(form for form in forms_of(step) if form.action.endswith("/drop"))
    changed(tablet, plan, TEST, "reword", {"text": "Test the lead."})

    released = tablet.post(f"{plan}/release", {**stale.values, **PIN})
    again = tablet.post(f"{plan}/steps/{TEST}/drop", {**form.values, "why": "no"})

    for answer in (released, again):
        assert answer.status_code == 409
        assert "changed since you saw it, last by Test Supervisor" in read_page(answer.text).text()
    assert len(edits_of(rig.site, plan.rpartition("/")[2])) == 1


@pytest.mark.parametrize(
    ("act", "typed", "words"),
    [
        ("move", {}, "Choose where the step is to stand."),
        ("move", {"place": "named", "named": "no"}, "Give the number of the step"),
        ("move", {"place": "named", "named": "1"}, "Choose a place among the floor work."),
        ("reword", {"text": " "}, "Write the text of the step"),
        ("add", {"place": "after BP-02/set-slips", "text": "x" * 301}, "300 are the most"),
        ("drop", {"why": ""}, "Say why, in a few words, before you change the sheet"),
    ],
)
def test_a_refused_change_comes_back_open_with_what_was_typed(
    tablet: Tablet, plan: str, act: str, typed: dict[str, str], words: str
) -> None:
    sent = {"why": "because of that", **typed}

    answer = tablet.send(f"{plan}/steps/{SLIPS}", f"{plan}/steps/{SLIPS}/{act}", sent)

    form = read_page(answer.text).one("details", id=act)
    assert answer.status_code == 422
    assert "open" in form.attributes
    assert words in form.one("p", class_="refused").text()
    assert form.one("input", name="why").attributes["value"] == sent["why"]


def test_nobody_but_a_supervisor_is_shown_or_let_change_anything(rig: Rig, plan: str) -> None:
    rig.tablet.sign_in("driller")

    step = rig.tablet.page(f"{plan}/steps/{SLIPS}")
    answer = rig.tablet.post(
        f"{plan}/steps/{SLIPS}/drop", {"step": "BP-02/set-slips", "why": "no", "seen": "0"}
    )

    assert {form.attributes["action"] for form in step.all("form")} <= {"/display"}
    assert "A supervisor changes the sheet before its release." in step.text()
    assert answer.status_code == 403
    assert edits_of(rig.site, plan.rpartition("/")[2]) == ()


def test_what_was_typed_comes_back_to_somebody_whose_sign_in_ended(tablet: Tablet, plan: str) -> None:
    form = next(
        form for form in forms_of(tablet.page(f"{plan}/steps/{SLIPS}")) if form.action.endswith("/reword")
    )
    tablet.sign_out()

    answer = tablet.post(form.action, {**form.values, "text": "Set the small slips.", "why": "two sizes"})

    assert answer.status_code == 401
    shown = read_page(answer.text)
    assert "You had typed: two sizes, Set the small slips." in shown.text()
    assert [link.text() for link in shown.one("div", class_="banner").all("a")] == ["Sign in"]


def test_the_changes_of_an_older_plan_are_taken_over(rig: Rig, tablet: Tablet, plan: str) -> None:
    changed(tablet, plan, TEST, "reword", {"text": "Test the lead."})
    sent = tablet.send("/", "/plans", {"name": "mended", "text": demo_plan_text("single")})
    mended = sent.headers["location"]
    page = tablet.page(f"{mended}/changes")
    offered = page.one("input", name="from").attributes["value"]

    unchosen = tablet.send(f"{mended}/changes", f"{mended}/changes/take-over", {"why": "mended"})
    taken = tablet.send(
        f"{mended}/changes", f"{mended}/changes/take-over", {"from": offered, "why": "mended"}
    )

    assert (unchosen.status_code, taken.status_code) == (404, 303)
    assert tablet.page(f"{mended}/steps/{TEST}").one("h1").text() == "Test the lead."
    assert "Took the changes before this over" in tablet.page(f"{mended}/changes").text()


def test_a_plan_that_is_stopped_has_no_sheet_to_change(tablet: Tablet) -> None:
    text = demo_plan_text("single").replace('at = "MTR-1"', 'at = "MTR-9"')
    stopped = tablet.send("/", "/plans", {"name": "stopped", "text": text}).headers["location"]

    assert "There is no sheet yet" in tablet.page(f"{stopped}/sheet").text()
    assert tablet.get(f"{stopped}/steps/1").status_code == 404
    assert "Nothing was changed" in tablet.page(f"{stopped}/changes").text()


def test_an_unknown_act_or_step_is_not_found(tablet: Tablet, plan: str) -> None:
    assert tablet.post(f"{plan}/steps/{SLIPS}/burn", {"why": "no"}).status_code == 404
    assert tablet.get(f"{plan}/steps/9999").status_code == 404
