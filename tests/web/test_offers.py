"""What pages offer to whom: nobody is shown a button that his role would be refused."""

import pytest

from app.domain.commands import DraftHandover, RaiseDeviation, TalkHandoverThrough
from app.domain.events.deviations import Disposition
from app.services.runs import act, new_key
from app.services.tries import Present
from tests import runner
from tests.web.conftest import Rig, Tablet

STEP = 74
RELIEF, RELIEF_PIN = "Rita Relief", "518264"
OFFERED = (
    ("/handover", "Draft the handover"),
    ("/hold-points/Y-closure-pump", "The talk was held"),
    ("/swaps?place=MTR-1+base", "Swap MTR-1 base"),
    ("/load-out", "Add it to the list"),
    ("/deviations", "Accept deviation 1 as “use as is”"),
    ("/close-out", "Close the run"),
    ("/steps/73", "Undo step 73"),
    ("", "Done"),
)


@pytest.fixture
def at_work(rig: Rig, tablet: Tablet) -> Rig:
    """Return a run before a step of the pump technician, with an open deviation."""
    assert tablet is rig.tablet
    rig.do_deck_work()
    rig.do_floor_until(STEP)
    raising = RaiseDeviation(STEP, "a scratch", "dropped", Disposition.USE_AS_IS)
    rig.tablet.do(act(rig.site, rig.run_id, raising, rig.crew["driller"], new_key()))
    return rig


@pytest.mark.parametrize(("path", "button"), OFFERED)
def test_the_supervisor_is_offered_what_another_role_is_not(at_work: Rig, path: str, button: str) -> None:
    before = buttons(at_work, path)
    at_work.tablet.sign_in("floor crew")

    after = buttons(at_work, path)

    assert any(button in text for text in before)
    assert not any(button in text for text in after)


def test_another_role_is_told_for_whom_it_is_and_shown_the_way_to_sign_in(at_work: Rig) -> None:
    at_work.tablet.sign_in("floor crew")

    page = at_work.tablet.page(f"{at_work.home}/swaps?place=MTR-1+base")
    (way,) = (link for link in page.all("a") if link.text() == "Somebody else signs in")

    assert "This is for the supervisor or the pump technician." in page.text()
    assert way.attributes["href"].startswith(f"/sign-in?next={at_work.home}/swaps%3Fplace%3DMTR-1")


def test_only_who_leads_goes_on_from_a_hold(at_work: Rig) -> None:
    at_work.tablet.post(f"{at_work.home}/hold", {"cause": "weather or sea"})
    led = buttons(at_work, "/hold")
    at_work.tablet.sign_in("pump technician")

    assert "Go on with the work" in led
    assert "Go on with the work" not in buttons(at_work, "/hold")


def test_a_step_that_later_work_rests_on_says_so_in_the_place_of_its_undo(at_work: Rig) -> None:
    page = at_work.tablet.page(f"{at_work.home}/steps/60")

    assert "Undo step 60" not in buttons(at_work, "/steps/60")
    assert "Step 60 cannot be undone" in page.text()


def test_the_run_offers_to_undo_its_last_step_to_whom_may(at_work: Rig) -> None:
    offered = at_work.tablet.page(at_work.home).all("a", class_="button quiet undo")
    at_work.tablet.sign_in("driller")

    assert [way.text() for way in offered] == ["Undo step 73"]
    assert not at_work.tablet.page(at_work.home).all("a", class_="button quiet undo")


def test_each_part_of_a_handover_is_offered_to_the_one_supervisor_whose_it_is(at_work: Rig) -> None:
    home, tablet = at_work.home, at_work.tablet
    adding = runner.add_one(
        at_work.site, Present(at_work.crew["supervisor"]), RELIEF, "supervisor", pin=RELIEF_PIN
    )
    relief = tablet.do(adding)

    tablet.send(f"{home}/handover", f"{home}/handover/draft", {"words": "The slips sit deep."})
    talking = buttons(at_work, "/handover")
    tablet.post(f"/sign-in/{relief.person_id}", {"pin": RELIEF_PIN})
    waiting = buttons(at_work, "/handover")

    assert {"Test Supervisor: it was talked through", "Take it back"} <= set(talking)
    assert not {"Test Supervisor: it was talked through", "Take it back"} & set(waiting)
    assert "This is for Test Supervisor." in tablet.page(f"{home}/handover").text()


def test_who_hands_over_is_not_offered_to_check_it_himself(at_work: Rig) -> None:
    home, tablet, lead = at_work.home, at_work.tablet, at_work.crew["supervisor"]
    drafting = act(at_work.site, at_work.run_id, DraftHandover("The slips sit deep."), lead, new_key())
    tablet.do(drafting)
    drafted = at_work.run.handing_over
    assert drafted is not None
    talking = TalkHandoverThrough(drafted.drafted.open_items)
    tablet.do(act(at_work.site, at_work.run_id, talking, lead, new_key()))

    assert "Compare with what was recorded" not in buttons(at_work, "/handover")
    assert "another supervisor than Test Supervisor" in tablet.page(f"{home}/handover").text()


def buttons(rig: Rig, path: str) -> list[str]:
    return [button.text() for button in rig.tablet.page(rig.home + path).all("button")]
