"""Going back and going on with a changed plan, on their pages: read, signed for, walked."""

import asyncio

from httpx import Response

from app.domain.edits.kinds import AddStep, Place
from app.domain.numbering import first_key
from app.domain.operations import Operation
from app.domain.rewriting.backing_out import steps_to_go_back_to
from app.domain.sheet import Lane
from app.services.plans import keep_plan
from app.services.rewriting import BACK_OUT_MEANING, TURN_MEANING
from app.services.runs import new_key
from app.services.sheet_edits import change_sheet, take_over
from tests import runner
from tests.services.camp import SINGLE
from tests.services.test_rewriting import ONE_MORE
from tests.web.conftest import Rig, Tablet

STOPPED = 64


def at_work(rig: Rig) -> int:
    rig.do_deck_work()
    rig.do_floor_until(STOPPED)
    return rig.run.floor_next


def test_a_step_is_chosen_read_signed_for_and_walked_back_to(rig: Rig, tablet: Tablet) -> None:
    first = at_work(rig) - 3
    chosen = tablet.page(f"{rig.home}/back-out").all("a", href=f"{rig.home}/back-out/{first}")
    shown = tablet.page(f"{rig.home}/back-out/{first}").text()

    sent = tablet.send(
        f"{rig.home}/back-out/{first}",
        f"{rig.home}/back-out/{first}",
        {"cause": "a test failed", "reason": "low", "pin": runner.PINS["Test Supervisor"]},
    )

    assert len(chosen) == 1
    assert BACK_OUT_MEANING in shown
    assert "Before coming back" in shown
    assert "before Landing" not in shown, "nobody has signed for that yet"
    assert sent.status_code == 303, sent.text
    now = tablet.page(rig.home).text()
    assert "On the way back" in now
    assert "Stage complete" not in now, "it is left in its middle"
    assert "Before coming back" in now


def test_a_way_back_without_a_reason_is_refused_with_what_was_typed(rig: Rig, tablet: Tablet) -> None:
    first = at_work(rig) - 3

    sent = tablet.send(
        f"{rig.home}/back-out/{first}",
        f"{rig.home}/back-out/{first}",
        {"cause": "a test failed", "reason": " ", "pin": runner.PINS["Test Supervisor"]},
    )

    assert sent.status_code == 422
    assert "Say why" in sent.text
    assert "checked" in sent.text
    assert rig.run.rewrites == ()


def test_a_way_back_is_called_off_while_nothing_of_it_is_done(rig: Rig, tablet: Tablet) -> None:
    first = at_work(rig) - 3
    tablet.send(
        f"{rig.home}/back-out/{first}",
        f"{rig.home}/back-out/{first}",
        {"cause": "a test failed", "reason": "low", "pin": runner.PINS["Test Supervisor"]},
    )

    sent = tablet.send(f"{rig.home}/back-out", f"{rig.home}/back-out", {"reason": "it was the meter"})

    assert sent.status_code == 303
    assert rig.run.way_back_left() == ()
    log = tablet.page(f"{rig.home}/log").text()
    assert "called off, because: it was the meter" in log
    assert f"Way back to before step {first} signed for: a test failed" in log


def begun_and_walked(rig: Rig, tablet: Tablet, back: int = 5, steps: int = 1) -> int:
    """Begin a way back so many steps long and walk some of it; return where it goes to."""
    first = at_work(rig) - back
    send_back(rig, tablet, first)
    rig.do_floor_until(rig.run.floor_next + steps)
    return first


def send_back(rig: Rig, tablet: Tablet, first: int, **typed: str) -> Response:
    told = {"cause": "a test failed", "reason": "low", "pin": runner.PINS["Test Supervisor"]} | typed
    return tablet.send(f"{rig.home}/back-out/{first}", f"{rig.home}/back-out/{first}", told)


def test_a_way_back_is_turned_further_back_on_the_page_that_shows_it(rig: Rig, tablet: Tablet) -> None:
    first = begun_and_walked(rig, tablet)
    further = first - 3
    chosen = tablet.page(f"{rig.home}/back-out")
    shown = tablet.page(f"{rig.home}/back-out/{further}").text()

    sent = send_back(rig, tablet, further, cause="something was damaged", reason="bent below too")

    assert f"on its way back to before step {first}" in chosen.text()
    assert len(chosen.all("a", href=f"{rig.home}/back-out/{further}")) == 1
    assert not chosen.all("a", href=f"{rig.home}/back-out/{first}")
    assert "What is left of the way back" in shown
    assert TURN_MEANING in shown
    assert sent.status_code == 303, sent.text
    assert rig.run.way_back()[-1].goes_to == further
    log = tablet.page(f"{rig.home}/log").text()
    assert (
        f"Way back 1 turned: now to before step {further}: something was damaged. Why: bent below too" in log
    )


def test_a_way_back_is_ended_where_the_run_goes_forward_soonest(rig: Rig, tablet: Tablet) -> None:
    begun_and_walked(rig, tablet)
    page = tablet.page(f"{rig.home}/back-out").text()
    soonest = steps_to_go_back_to(rig.run)[0].number

    sent = send_back(
        rig, tablet, soonest, cause="what was looked for was found sooner", reason="a loose clamp"
    )

    assert f"Soonest forward again: from step {soonest}" in page
    assert sent.status_code == 303, sent.text
    rig.do_floor_until(rig.run.floor_next + len(rig.run.way_back_left()) + 1)
    assert rig.run.way_back() == ()
    assert "On the way back" not in tablet.page(rig.home).text()


def test_a_way_back_is_not_begun_because_something_was_found_sooner(rig: Rig, tablet: Tablet) -> None:
    first = at_work(rig) - 3

    page = tablet.page(f"{rig.home}/back-out/{first}")

    assert "was found sooner" not in page.text()


def test_a_changed_plan_says_that_it_waits_for_the_way_back(rig: Rig, tablet: Tablet) -> None:
    begun_and_walked(rig, tablet)
    kept = keep_plan(rig.site, "one joint more", ONE_MORE, rig.crew["supervisor"])

    answer = tablet.get(f"{rig.home}/replan/{kept.id}")

    assert answer.status_code == 409
    assert "end the way back or turn it first" in answer.text


def test_steps_that_were_taken_back_say_so_on_the_sheet(rig: Rig, tablet: Tablet) -> None:
    first = at_work(rig) - 3
    tablet.send(
        f"{rig.home}/back-out/{first}",
        f"{rig.home}/back-out/{first}",
        {"cause": "a test failed", "reason": "low", "pin": runner.PINS["Test Supervisor"]},
    )
    stage = rig.run.sheet.steps[first - 1].stage

    page = tablet.page(f"{rig.home}/sheet?stage={stage}").text()

    assert page.count("done, and taken back") == 3


def test_the_driller_reads_a_way_back_and_has_no_form_for_it(rig: Rig) -> None:
    first = at_work(rig) - 3
    rig.tablet.sign_in("driller")

    page = rig.tablet.page(f"{rig.home}/back-out/{first}")

    assert "The supervisor decides to go back" in page.text()
    assert not page.all("form", action=f"{rig.home}/back-out/{first}")


def test_a_step_that_is_not_done_is_none_to_go_back_to(rig: Rig, tablet: Tablet) -> None:
    answer = tablet.get(f"{rig.home}/back-out/200")

    assert answer.status_code == 409
    assert "none to go back to" in answer.text


def test_a_changed_plan_shows_its_difference_and_is_gone_on_with(rig: Rig, tablet: Tablet) -> None:
    at_work(rig)
    kept = keep_plan(rig.site, "one joint more", ONE_MORE, rig.crew["supervisor"])
    listed = tablet.page(f"{rig.home}/replan").all("a", href=f"{rig.home}/replan/{kept.id}")
    page = tablet.page(f"{rig.home}/replan/{kept.id}")
    accepted = [box.attributes["value"] for box in page.all("input", type="checkbox")]

    sent = tablet.send(
        f"{rig.home}/replan/{kept.id}",
        f"{rig.home}/replan/{kept.id}",
        {"reason": "longer", "accept": accepted, "pin": runner.PINS["Test Supervisor"]},
    )

    assert len(listed) == 1
    assert '+ { tag = "P-009", length = "30.20 ft" },' in " ".join(page.text().split())
    assert sent.status_code == 303, sent.text
    assert [step.parts for step in rig.run.open_deck_steps()] == [("P-009",)]
    assert "planned anew by “one joint more”" in tablet.page(f"{rig.home}/log").text()


def test_a_changed_plan_says_that_changes_to_the_sheet_are_still_to_be_taken_over(
    rig: Rig, tablet: Tablet
) -> None:
    kept = keep_plan(rig.site, "with a step of our own", SINGLE, rig.crew["supervisor"])
    own = AddStep("", Place(after="BP-02/set-slips"), "Watch the weather.", "driller")
    asyncio.run(change_sheet(rig.site, kept.id, own, why="wind", by=rig.crew["supervisor"], key=new_key()))
    released = asyncio.run(runner.release_kept(rig.site, kept, rig.crew["supervisor"]))
    longer = keep_plan(rig.site, "one joint more", ONE_MORE, rig.crew["supervisor"])
    page = f"/runs/{released}/replan/{longer.id}"

    before = tablet.page(page)
    asyncio.run(
        take_over(rig.site, longer.id, kept.id, why="still", by=rig.crew["supervisor"], key=new_key())
    )
    after = tablet.page(page)

    assert "1 change was made to the sheet that this run works by" in before.text()
    assert before.all("a", href=f"/plans/{longer.id}/changes")
    assert "to the sheet that this run works by" not in after.text()


def test_the_same_plan_has_nothing_to_sign_for(rig: Rig, tablet: Tablet) -> None:
    at_work(rig)
    kept = keep_plan(rig.site, "the same", ONE_MORE.replace(*one_less()), rig.crew["supervisor"])

    page = tablet.page(f"{rig.home}/replan/{kept.id}")

    assert "There is nothing to sign for" in page.text()
    assert not page.all("form", action=f"{rig.home}/replan/{kept.id}")
    assert rig.run.sheet.lane(Lane.DECK)


def one_less() -> tuple[str, str]:
    return '\n    { tag = "P-009", length = "30.20 ft" },', ""


def test_the_head_names_the_stage_that_a_step_is_of_behind_a_way_back(rig: Rig, tablet: Tablet) -> None:
    first = at_work(rig) - 3
    own = tablet.page(rig.home).one("p", class_="run-place").text()
    send_back(rig, tablet, first)
    on_its_way = tablet.page(rig.home).one("p", class_="run-place").text()

    rig.do_floor_until(rig.run.way_back_left()[-1] + 1)

    behind = tablet.page(rig.home).one("p", class_="run-place").text()
    assert rig.run.way_back_left() == ()
    assert on_its_way.startswith("Back: ")
    assert behind.split(" · ")[0] == own.split(" · ")[0]


def test_a_finding_on_a_way_back_stands_in_words_without_its_rule(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()
    up = next(step for step in rig.run.sheet.steps if step.operation is Operation.PICK_UP_PART)
    rig.do_floor_until(up.number + 1)

    page = tablet.page(f"{rig.home}/back-out/{up.number - 1}")

    finding = page.one("ul", class_="problems").text()
    assert "hangs on slings alone now" in finding
    assert "back-out-on-slings" not in finding


def test_the_log_says_which_step_a_number_of_then_is_now(rig: Rig, tablet: Tablet) -> None:
    ahead = at_work(rig) + 2
    key = rig.run.sheet.steps[ahead - 1].key
    page = f"{rig.home}/steps/{ahead}"
    tablet.send(page, f"{page}/notes", {"text": "look at the thread"})
    before = tablet.page(f"{rig.home}/log").text()

    send_back(rig, tablet, ahead - 5)

    now = max(step.number for step in rig.run.sheet.steps if first_key(step.key) == key)
    log = tablet.page(f"{rig.home}/log").text()
    assert now != ahead
    assert f"Note on step {ahead}: look at the thread" in before
    assert f"Note on step {ahead}: look at the thread" in log
    assert f"Step {ahead} then, step {now} now." in log
    assert " then, " not in before
