"""What is left is printed with boxes, and what was done by the paper is entered late, many steps at once."""

from datetime import timedelta

from httpx import Response

from app.domain.events.steps import ReadingCorrected
from app.domain.sheet import Lane
from app.services.runs import log_of
from tests import runner
from tests.domain.job import MEET_SWIVEL, TORQUE
from tests.web.conftest import Rig, Tablet
from tests.web.html_page import form_to, read_page


def ready(rig: Rig, number: int = TORQUE) -> None:
    """Bring the run to a step, an hour before now."""
    rig.do_deck_work()
    rig.do_floor_until(number)
    rig.clock.pass_by(3600)


def typed(rig: Rig, number: int, minutes: int) -> dict[str, str]:
    """Return what is typed for a step that was done so many minutes ago."""
    at = rig.clock.now - timedelta(minutes=minutes)
    values = {"day": f"{at:%Y-%m-%d}", f"at-{number}": f"{at:%H:%M}"}
    for place, entered in enumerate(runner.good_readings(rig.run, rig.run.sheet.steps[number - 1])):
        name = number * 1000 + place
        values |= {
            f"value-{name}": entered.value,
            f"unit-{name}": entered.unit,
            f"tool-{name}": entered.tool,
        }
    return values


def enter(rig: Rig, tablet: Tablet, values: dict[str, str], *, lane: str = "floor") -> Response:
    path = f"{rig.home}/from-paper"
    form = form_to(tablet.page(f"{path}?lane={lane}"), path)
    return tablet.ask("POST", path, {**form.values, **values})


def test_the_page_shows_each_remaining_step_with_its_boxes_and_the_code_of_the_log(
    rig: Rig, tablet: Tablet
) -> None:
    ready(rig)

    page = tablet.page(f"{rig.home}/paper")

    rows = [row.all("th")[0].text() for row in page.all("tr") if row.all("span", class_="blank")]
    left = [step.number for step in rig.run.sheet.steps if rig.run.is_open(step.number)]
    code = log_of(rig.site, rig.run_id)[-1].hash[:4]
    assert rows == [str(number) for number in left]
    assert f"{code}-" in page.text()
    assert "450 ft·lbf to 550 ft·lbf, best 500 ft·lbf" in page.text()
    assert "The run is what the tablet has recorded" in page.text()
    assert len(page.all("section", class_="signing")) > 0


def test_the_file_to_print_opens_in_the_browser(rig: Rig, tablet: Tablet) -> None:
    answer = tablet.get(f"{rig.home}/paper/pdf")

    assert answer.headers["content-type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")


def test_several_steps_are_entered_at_once_each_as_its_own_event(rig: Rig, tablet: Tablet) -> None:
    ready(rig)
    before = rig.run.sequence
    hand = rig.crew["floor crew"]
    values = typed(rig, TORQUE, 30) | typed(rig, TORQUE + 1, 20) | {"by": hand.person_id}

    answer = enter(rig, tablet, values)

    first, second = rig.run.done[TORQUE], rig.run.done[TORQUE + 1]
    assert answer.status_code == 303
    assert rig.run.sequence == before + 2
    assert (first.doer, first.who.role) == (hand, "supervisor")
    assert second.ended_at == (rig.clock.now - timedelta(minutes=20)).replace(second=0, microsecond=0)


def test_one_step_may_have_been_done_by_another(rig: Rig, tablet: Tablet) -> None:
    ready(rig)
    supervisor = rig.crew["supervisor"]
    values = typed(rig, TORQUE, 30) | {"by": rig.crew["floor crew"].person_id}

    enter(rig, tablet, values | {f"by-{TORQUE}": supervisor.person_id})

    assert rig.run.done[TORQUE].doer == supervisor


def test_a_refused_step_keeps_what_was_typed_and_those_before_it_stay_entered(
    rig: Rig, tablet: Tablet
) -> None:
    ready(rig)
    values = typed(rig, TORQUE, 20) | typed(rig, TORQUE + 1, 40)

    answer = enter(rig, tablet, values)

    page = read_page(answer.text)
    field = page.one("input", name=f"at-{TORQUE + 1}")
    assert rig.run.is_done(TORQUE)
    assert not rig.run.is_done(TORQUE + 1)
    assert f"is before step {TORQUE} was done" in answer.text
    assert f"Entered before that, and it stands: step {TORQUE}" in page.text()
    assert field.attributes["value"] == values[f"at-{TORQUE + 1}"]


def test_a_reading_without_a_time_is_asked_about(rig: Rig, tablet: Tablet) -> None:
    ready(rig)
    values = typed(rig, TORQUE, 20) | {f"at-{TORQUE}": ""}

    answer = enter(rig, tablet, values)

    assert answer.status_code == 422
    assert "its time is missing" in answer.text
    assert not rig.run.is_done(TORQUE)


def test_the_days_of_a_run_stand_by_name_and_one_of_several_is_chosen(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()
    rig.do_floor_until(TORQUE)
    rig.clock.pass_by(20 * 3600)
    tablet.sign_in("supervisor")
    page = tablet.page(f"{rig.home}/from-paper")
    values = typed(rig, TORQUE, 30) | {f"at-{TORQUE}": "2330"}

    unsaid = enter(rig, tablet, values | {"day": ""})
    shown = read_page(unsaid.text)
    entered = enter(rig, tablet, values | {f"day-{TORQUE}": "2026-03-01"})

    days = [option.text() for option in page.one("select", id="day").all("option")]
    assert days == ["Which day?", "Monday 2 March 2026, today", "Sunday 1 March 2026"]
    assert (unsaid.status_code, entered.status_code) == (422, 303)
    assert "its day is not chosen" in unsaid.text
    assert shown.one("input", name=f"at-{TORQUE}").attributes["value"] == "2330"
    assert f"{rig.run.done[TORQUE].ended_at:%Y-%m-%d %H:%M}" == "2026-03-01 23:30"


def test_on_its_first_day_a_run_asks_for_no_day(rig: Rig, tablet: Tablet) -> None:
    ready(rig)

    page = tablet.page(f"{rig.home}/from-paper")

    days = [option.text() for option in page.one("select", id="day").all("option")]
    assert days == ["Sunday 1 March 2026, today"]
    assert page.all("select", id=f"day-{TORQUE}") == []


def test_a_form_without_any_time_enters_nothing_and_says_so(rig: Rig, tablet: Tablet) -> None:
    ready(rig)
    before = rig.run.sequence

    answer = enter(rig, tablet, {})

    assert "No step has a time" in answer.text
    assert rig.run.sequence == before


def test_the_same_form_sent_twice_enters_nothing_twice(rig: Rig, tablet: Tablet) -> None:
    ready(rig)
    path = f"{rig.home}/from-paper"
    sent = {**form_to(tablet.page(path), path).values, **typed(rig, TORQUE, 20)}
    before = rig.run.sequence

    answers = [tablet.ask("POST", path, sent) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [303, 303]
    assert rig.run.sequence == before + 1


def test_nothing_behind_an_unsigned_hold_point_can_be_entered(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()

    page = tablet.page(f"{rig.home}/from-paper")

    held = next(step for step in rig.run.sheet.lane(Lane.FLOOR) if rig.run.holding(step))
    assert page.all("input", name=f"at-{held.number}") == []
    assert f"The hold point before step {held.number} is not signed" in page.text()


def test_deck_work_is_entered_apart(rig: Rig, tablet: Tablet) -> None:
    rig.clock.pass_by(3600)

    answer = enter(rig, tablet, typed(rig, 1, 20), lane="deck")

    assert answer.status_code == 303
    assert rig.run.done[1].late is not None


def test_a_late_entry_is_marked_on_its_step_and_in_the_log(rig: Rig, tablet: Tablet) -> None:
    ready(rig)
    enter(rig, tablet, typed(rig, TORQUE, 20))

    step = tablet.page(f"{rig.home}/steps/{TORQUE}").text()
    log = tablet.page(f"{rig.home}/log").text()

    assert "Late entry from paper: entered by Test Supervisor (supervisor)" in step
    assert f"Step {TORQUE} done. Late entry from paper: done" in log


def test_a_tick_too_fast_stands_on_its_step_in_the_log_and_at_the_next_hold_point(
    rig: Rig, tablet: Tablet
) -> None:
    held = [stage for stage in rig.run.sheet.stages if stage.hold_point is not None]
    rig.do_deck_work()
    rig.do_floor_until(held[1].first - 1)

    tablet.send(rig.home, f"{rig.home}/steps/{held[1].first - 1}/done", rig.good_values(held[1].first - 1))

    page = tablet.page(f"{rig.home}/hold-points/{held[1].id}").text()
    assert "ticked sooner than they can be done" in page
    assert (
        "Ticked sooner than the step can be done"
        in tablet.page(f"{rig.home}/steps/{held[1].first - 1}").text()
    )
    assert "Ticked sooner than it can be done." in tablet.page(f"{rig.home}/log").text()


def test_both_readings_of_a_step_are_entered_from_paper_and_the_first_is_not_shown(
    rig: Rig, tablet: Tablet
) -> None:
    ready(rig, MEET_SWIVEL)
    technician, hand = rig.crew["pump technician"], rig.crew["floor crew"]
    first = {**typed(rig, MEET_SWIVEL, 30), "by": technician.person_id}
    value = first[f"value-{MEET_SWIVEL * 1000}"]

    waiting = enter(rig, tablet, first)
    page = tablet.page(f"{rig.home}/from-paper")
    same = enter(rig, tablet, {**typed(rig, MEET_SWIVEL, 20), "by": technician.person_id})
    second = enter(rig, tablet, {**typed(rig, MEET_SWIVEL, 20), "by": hand.person_id})

    assert waiting.status_code == 303
    assert f"{technician.name} has read it" in page.text()
    assert value not in [item.attributes.get("value") for item in page.all("input")]
    assert same.status_code == 409
    assert f"{technician.name} took the first reading" in same.text
    assert second.status_code == 303
    done = rig.run.done[MEET_SWIVEL]
    assert done.second is not None
    assert [done.doer, done.second.doer] == [technician, hand]
    shown = tablet.page(f"{rig.home}/steps/{MEET_SWIVEL}").text()
    assert f"Read again by {hand.name}" in shown
    assert "from paper by Test Supervisor" in shown


def test_a_correction_is_copied_from_paper_on_the_page_of_its_step(rig: Rig, tablet: Tablet) -> None:
    ready(rig, TORQUE + 1)
    path = f"{rig.home}/steps/{TORQUE}"
    done = rig.run.done[TORQUE]
    at = rig.clock.now - timedelta(minutes=30)
    told = {"value-0": "495", "reason": "misread", "late-by": done.doer.person_id}

    early = tablet.send(path, f"{path}/correct/0", {**told, "late-at": "2026-02-28T08:00"})
    sent = tablet.send(path, f"{path}/correct/0", {**told, "late-at": f"{at:%Y-%m-%dT%H:%M}"})

    assert early.status_code == 422
    assert "2026-02-28T08:00" in early.text
    assert sent.status_code == 303, sent.text
    event = rig.run.corrections[-1].event
    assert isinstance(event, ReadingCorrected)
    assert event.late is not None
    assert (event.late.by, event.late.at) == (done.doer, at.isoformat())
    assert "from paper by Test Supervisor" in tablet.page(path).text()
    assert "Late entry from paper: done" in tablet.page(f"{rig.home}/log").text()
