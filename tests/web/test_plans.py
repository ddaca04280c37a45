"""Plans: sent as text or file, every mistake shown in its place, released by a supervisor's PIN."""

from app.demo import demo_plan_text
from app.services.plans import MEANING, all_plans
from app.services.runs import all_runs
from tests import runner
from tests.web.conftest import Rig, Tablet
from tests.web.html_page import read_page

TEXT = demo_plan_text("single")


def test_a_pasted_plan_is_kept_and_its_page_opens(rig: Rig, tablet: Tablet) -> None:
    answer = tablet.send("/", "/plans", {"name": "pasted", "text": TEXT})

    assert answer.status_code == 303
    page = tablet.page(answer.headers["location"])
    assert "Findings: 0 that stop" in page.text()
    assert len(page.all("ol", class_="compact")) == len(rig.run.sheet.stages)


def test_a_plan_file_is_kept(rig: Rig, tablet: Tablet) -> None:
    files = {"file": ("plan.toml", TEXT.encode("utf-8-sig"), "text/plain")}

    answer = tablet.ask("POST", "/plans", {"key": "k" * 20, "name": "from a file", "text": ""}, files=files)

    assert answer.status_code == 303
    assert "from a file" in {plan.name for plan in all_plans(rig.site)}


def test_every_mistake_of_a_plan_is_shown_in_its_place_and_the_text_is_kept(rig: Rig, tablet: Tablet) -> None:
    broken = TEXT.replace('working_height = "', 'working_height = "about ', 1).replace("[well]", "[wall]", 1)
    before = all_plans(rig.site)

    answer = tablet.send("/", "/plans", {"text": broken})

    page = read_page(answer.text)
    problems = page.one("ul", class_="problems").children
    assert answer.status_code == 422
    assert len(problems) >= 2
    assert all(problem.all("strong")[0].text() for problem in problems)
    assert "[wall]" in page.one("textarea", id="text").text()
    assert all_plans(rig.site) == before


def test_a_file_that_is_no_text_is_refused(tablet: Tablet) -> None:
    files = {"file": ("plan.toml", b"\xff\xfe\x00bad", "text/plain")}

    answer = tablet.ask("POST", "/plans", {"key": "k" * 20}, files=files)

    assert answer.status_code == 422
    assert "UTF-8" in read_page(answer.text).text()


def test_a_supervisor_releases_a_plan_by_his_pin(rig: Rig, tablet: Tablet) -> None:
    plan = all_plans(rig.site)[0]
    path, action = f"/plans/{plan.id}", f"/plans/{plan.id}/release"
    shown = tablet.page(path).text()

    wrong = tablet.send(path, action, {"pin": "000001"})
    right = tablet.send(path, action, {"pin": runner.PINS["Test Supervisor"]})

    assert MEANING in shown
    assert wrong.status_code == 401
    assert right.status_code == 303
    assert right.headers["location"].removeprefix("/runs/") in {run.run_id for run in all_runs(rig.site)}
    assert len(all_runs(rig.site)) == 2


def test_a_released_plan_is_followed_by_the_browser_when_htmx_asks(rig: Rig, tablet: Tablet) -> None:
    plan = all_plans(rig.site)[0]

    answer = tablet.send(
        f"/plans/{plan.id}",
        f"/plans/{plan.id}/release",
        {"pin": runner.PINS["Test Supervisor"]},
        htmx=True,
    )

    assert answer.status_code == 204
    assert answer.headers["hx-redirect"].startswith("/runs/")


def test_each_caution_must_be_ticked_by_its_own_words(rig: Rig, tablet: Tablet) -> None:
    serial = 'serial = "TL-T-0007"\ndue = '
    old_tape = TEXT.replace(f"{serial}2090-06-30", f"{serial}2026-02-27")
    sent = tablet.send("/", "/plans", {"name": "with an old tape", "text": old_tape})
    path = sent.headers["location"]
    page = tablet.page(path)
    boxes = [box.attributes["value"] for box in page.all("input", type="checkbox", name="accepted")]
    pin = runner.PINS["Test Supervisor"]

    unread = tablet.send(path, f"{path}/release", {"pin": pin})
    released = tablet.post(f"{path}/release", {"pin": pin, "accepted": boxes})

    assert len(boxes) == 1
    assert "T-TAPE ran out on 2026-02-27" in boxes[0]
    assert unread.status_code == 422
    assert "cautions are not accepted yet" in unread.text
    assert released.status_code == 303
    log = tablet.page(f"{released.headers['location']}/log").text()
    assert "T-TAPE ran out on 2026-02-27" in page.text()
    assert "Accepted: tools" in log
    rule = boxes[0].split(" at ")[0]
    assert "-" in rule
    assert rule not in page.text() + log, "the rule of a finding is for machines"


def test_somebody_else_cannot_release(rig: Rig) -> None:
    rig.tablet.sign_in("driller")
    plan = all_plans(rig.site)[0]

    answer = rig.tablet.send(
        f"/plans/{plan.id}", f"/plans/{plan.id}/release", {"pin": runner.PINS["Test Driller"]}
    )

    assert answer.status_code == 403
    assert "may not release a plan" in read_page(answer.text).text()


def test_a_plan_that_is_not_kept_is_not_found(tablet: Tablet) -> None:
    answer = tablet.get("/plans/none")

    assert answer.status_code == 404
    assert "There is no plan 'none' here" in read_page(answer.text).text()


def test_a_practice_run_says_so_on_its_pages_and_gives_no_record(rig: Rig, tablet: Tablet) -> None:
    rig.site.practice = True
    plan = all_plans(rig.site)[0]
    sent = {"pin": runner.PINS["Test Supervisor"]}
    run = tablet.send(f"/plans/{plan.id}", f"/plans/{plan.id}/release", sent).headers["location"]

    for path in (run, f"{run}/sheet", f"{run}/close-out"):
        assert "Practice run: it gives no record." in tablet.page(path).text()

    assert "A practice run gives no record." in tablet.page(f"{run}/record").text()
    assert "Practice run" not in tablet.page(rig.home).text()


def test_a_plan_that_was_sent_twice_under_one_key_is_kept_once(rig: Rig, tablet: Tablet) -> None:
    before = len(all_plans(rig.site))
    form = {"key": "one-key-for-one-plan", "name": "sent twice", "text": TEXT}

    first = tablet.ask("POST", "/plans", form)
    second = tablet.ask("POST", "/plans", form)

    assert first.headers["location"] == second.headers["location"]
    assert len(all_plans(rig.site)) == before + 1
