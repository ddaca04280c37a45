"""Going back and going on with a changed plan, on their pages: read, signed for, walked."""

from app.domain.sheet import Lane
from app.services.plans import keep_plan
from app.services.rewriting import BACK_OUT_MEANING
from tests import runner
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


def test_the_same_plan_has_nothing_to_sign_for(rig: Rig, tablet: Tablet) -> None:
    at_work(rig)
    kept = keep_plan(rig.site, "the same", ONE_MORE.replace(*one_less()), rig.crew["supervisor"])

    page = tablet.page(f"{rig.home}/replan/{kept.id}")

    assert "There is nothing to sign for" in page.text()
    assert not page.all("form", action=f"{rig.home}/replan/{kept.id}")
    assert rig.run.sheet.lane(Lane.DECK)


def one_less() -> tuple[str, str]:
    return '\n    { tag = "P-009", length = "30.20 ft" },', ""
