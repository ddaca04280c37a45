"""A way back on its pages, put on hold or handed over while it is walked."""

import pytest

from app.domain.run import RunState
from app.services.tries import Present
from tests import runner
from tests.web.conftest import Rig, Tablet
from tests.web.test_handover import PIN, RELIEF, Shift
from tests.web.test_rewriting import at_work, send_back

BACK = 5


@pytest.fixture
def shift(rig: Rig, tablet: Tablet) -> Shift:
    """Return a run on its way back, one step of it walked, with two supervisors on site."""
    first = at_work(rig) - BACK
    assert send_back(rig, tablet, first).status_code == 303
    rig.do_floor_until(rig.run.floor_next + 1)
    by = Present(rig.crew["supervisor"])
    return Shift(rig, tablet.do(runner.add_one(rig.site, by, RELIEF, "supervisor", pin=PIN)))


def hold(shift: Shift) -> None:
    path = f"{shift.rig.home}/hold"
    assert shift.tablet.send(path, path, {"cause": "weather or sea"}).status_code == 303


def test_the_card_of_a_hold_tells_the_way_back_and_leads_to_it(shift: Shift) -> None:
    hold(shift)
    left = shift.rig.run.way_back_left()

    card = shift.tablet.page(f"{shift.rig.home}/hold")

    assert f"step {left[0]} is next, {len(left)} to go" in card.text()
    assert card.one("main").all("a", href=f"{shift.rig.home}/back-out")


def test_on_hold_a_way_back_is_not_turned_and_resumed_it_is(shift: Shift) -> None:
    further = shift.rig.run.way_back()[-1].goes_to - 3
    hold(shift)

    held = send_back(shift.rig, shift.tablet, further)
    shift.tablet.send(f"{shift.rig.home}/hold", f"{shift.rig.home}/resume")
    resumed = send_back(shift.rig, shift.tablet, further)

    assert held.status_code == 409
    assert "on hold" in held.text
    assert resumed.status_code == 303
    assert shift.rig.run.way_back()[-1].goes_to == further


def test_after_a_long_hold_the_last_step_of_the_way_back_is_looked_at_and_may_be_undone(shift: Shift) -> None:
    hold(shift)
    shift.rig.clock.pass_by(3600)
    last = shift.rig.run.floor_next - 1
    card, way = f"{shift.rig.home}/hold", f"{shift.rig.home}/resume"

    shown = shift.tablet.page(card).text()
    undone = shift.tablet.send(card, way, {"look": "undone", "words": "not out"})

    assert f"It is not: undo step {last}" in shown
    assert undone.status_code == 303
    assert shift.rig.run.floor_next == last


def test_where_no_tick_may_be_undone_what_is_not_right_is_raised(rig: Rig, tablet: Tablet) -> None:
    first = at_work(rig) - BACK
    send_back(rig, tablet, first)
    tablet.send(f"{rig.home}/hold", f"{rig.home}/hold", {"cause": "weather or sea"})
    rig.clock.pass_by(3600)
    card, way = f"{rig.home}/hold", f"{rig.home}/resume"

    shown = tablet.page(card).text()
    sent = tablet.send(card, way, {"look": "raised as a deviation", "words": "the slips have moved"})

    last = first + BACK - 1
    assert f"It is not: undo step {last}" not in shown
    assert f"It is not: raise a deviation at step {last}" in shown
    assert sent.status_code == 303
    assert rig.run.state is RunState.RUNNING
    assert "Deviation 1 is open" in tablet.page(rig.home).text()


def test_a_way_back_is_handed_over_and_turned_by_who_took_it_over(shift: Shift) -> None:
    tablet, page, rig = shift.tablet, shift.page, shift.rig
    left = rig.run.way_back_left()
    further = rig.run.way_back()[-1].goes_to - 3
    shift.draft_and_talk()

    meanwhile = send_back(rig, tablet, further)
    drafted = tablet.page(f"{page}/sheet").text()
    shift.sign_in_relief()
    tablet.send(page, f"{page}/check", shift.values())
    accepted = tablet.send(page, f"{page}/accept", {"person": shift.relief.person_id, "pin": PIN})
    turned = send_back(rig, tablet, further, pin=PIN)

    assert meanwhile.status_code == 409
    assert f"step {left[0]} is next, {len(left)} to go" in drafted
    assert accepted.status_code == 303
    assert turned.status_code == 303
    assert rig.run.rewrites[-1].signed.who == shift.relief
    sheet = tablet.page(f"{page}/sheet").text()
    assert f"on its way back to before step {further}" in sheet
