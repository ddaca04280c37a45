"""What is half typed waits on the server for whoever opens the page next, and is no part of the run."""

import asyncio
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import replace

import pytest
from fastapi.routing import APIRoute
from httpx import Response

from app.domain.commands import AddNote, FinishStep
from app.domain.operations import Operation
from app.domain.sheet import Lane, ReadingKind
from app.services.half_typed import LONGEST, MOST_OF_A_RUN, let_go, unfinished
from app.services.kept_forms import FORMS, form_meant
from app.services.runs import act, new_key
from app.services.site import open_site
from app.web.application import create_application
from tests import runner
from tests.domain.job import LINE_TEST
from tests.web.conftest import NOTHING, Rig, Tablet, Values, settings_of
from tests.web.html_page import Element, form_to, read_page

# Forms of a run of which nothing is kept, and why.
SIGNED = {"hold-points/{stage_id}/sign", "close-out/sign"}
FILES = {"steps/{number}/photos", "deviations/{number}/photos", "hold-points/{stage_id}/photos"}
NOTHING_TO_TYPE = {"record", "half-typed", "half-typed/clear"}


def type_into(rig: Rig, tablet: Tablet, form: str, typed: Values, *, key: str = "") -> Response:
    """Let a page send what is half typed in a form, as its script does."""
    return tablet.post(f"{rig.home}/half-typed", {"form": form, **typed}, key=key or new_key())


def values_at(rig: Rig, tablet: Tablet, page: str, form: str) -> dict[str, str]:
    """Return what a form would send untouched, once its page is opened."""
    return form_to(tablet.page(rig.home + page), f"{rig.home}/{form}").values


def said(page: Element) -> list[str]:
    """Return what a page says of half typed forms."""
    return [form.one("p").text() for form in page.all("form", class_="half-typed")]


@contextmanager
def other(rig: Rig, role: str) -> Iterator[Tablet]:
    """Hand over a second tablet, with somebody signed in on it."""
    tablet = Tablet(rig.tablet.application, rig.crew)
    tablet.sign_in(role)
    yield tablet
    tablet.close()


def fields_of(form: Element) -> list[Element]:
    """Return the fields of a form that a person types into, ticks or chooses from."""
    fields = [*form.all("input"), *form.all("textarea"), *form.all("select")]
    return [field for field in fields if field.attributes.get("type") not in ("hidden", "password", "file")]


def is_kept(name: str, field: Element) -> bool:
    """Return whether a field of the form of a name is kept."""
    meant = form_meant(name)
    return meant is not None and meant.row.keeps(field.attributes["name"])


def torqued(rig: Rig) -> int:
    """Return the first step of the deck that asks for a torque."""
    return next(
        step.number
        for step in rig.run.sheet.lane(Lane.DECK)
        if any(reading.kind is ReadingKind.TORQUE for reading in step.readings)
    )


def test_what_one_types_fills_the_form_of_the_other_with_who_and_when(rig: Rig, tablet: Tablet) -> None:
    number, form = torqued(rig), f"steps/{torqued(rig)}/done"
    typed = {"value-0": "501", "unit-0": "N*m", "tool-0": ""}

    kept = type_into(rig, tablet, form, typed)

    assert kept.status_code == 204
    with other(rig, "driller") as second:
        page = second.page(f"{rig.home}/steps/{number}")
        values = form_to(page, f"{rig.home}/{form}").values
        assert (values["value-0"], values["unit-0"]) == ("501", "N*m")
        assert said(page) == ["Half typed by Test Supervisor at 08:00:00, not recorded"]
    assert not rig.run.is_done(number)
    assert rig.run.sequence == 1


def test_texts_ticks_rows_and_choices_come_back_as_they_were_left(rig: Rig, tablet: Tablet) -> None:
    stage = next(stage for stage in rig.run.sheet.stages if stage.hold_point)
    assert stage.hold_point is not None
    topics = list(stage.hold_point.topics[:2])
    angles = 'the "thread" is <b>dented</b> & dry\n  as the box'
    type_into(rig, tablet, "steps/3/notes", {"text": angles})
    type_into(rig, tablet, "steps/3/deviations", {"what": "a", "why": "b", "proposed": "replace"})
    type_into(rig, tablet, f"hold-points/{stage.id}/talk", {"topic": topics, "there": "nobody"})

    page = tablet.get(f"{rig.home}/steps/3").text
    talk = tablet.page(f"{rig.home}/hold-points/{stage.id}")

    assert ">\nthe &quot;thread&quot; is &lt;b&gt;dented&lt;/b&gt; &amp; dry\n  as the box</textarea>" in page
    assert form_to(read_page(page), f"{rig.home}/steps/3/deviations").values["proposed"] == "replace"
    ticked = [box.attributes["value"] for box in talk.all("input") if "checked" in box.attributes]
    assert ticked == topics
    assert len(said(read_page(page))) == 2
    assert {"note", "deviation"} <= {
        item.attributes.get("id", "") for item in read_page(page).all("details") if "open" in item.attributes
    }


def test_the_page_of_the_run_says_what_is_half_typed_elsewhere(rig: Rig, tablet: Tablet) -> None:
    type_into(rig, tablet, "steps/3/notes", {"text": "wind from the north"})

    page = tablet.page(rig.home)

    [link] = [link for link in page.all("a") if "A note on step 3" in link.text()]
    assert link.attributes["href"] == f"{rig.home}/steps/3#note"
    assert "by Test Supervisor at 08:00:00, not recorded" in link.text()


def test_the_last_one_who_types_wins(rig: Rig, tablet: Tablet) -> None:
    type_into(rig, tablet, "steps/3/notes", {"text": "mine"})
    with other(rig, "driller") as second:
        type_into(rig, second, "steps/3/notes", {"text": "his"})

    assert values_at(rig, tablet, "/steps/3", "steps/3/notes")["text"] == "his"
    assert said(tablet.page(f"{rig.home}/steps/3")) == [
        "Half typed by Test Driller at 08:00:00, not recorded"
    ]


@pytest.mark.parametrize("typed", [{"text": ""}, {"text": "  "}, NOTHING])
def test_a_form_that_was_emptied_is_not_half_typed(rig: Rig, tablet: Tablet, typed: Values) -> None:
    type_into(rig, tablet, "steps/3/notes", {"text": "wind"})

    type_into(rig, tablet, "steps/3/notes", typed)

    assert said(tablet.page(f"{rig.home}/steps/3")) == []


def test_a_unit_alone_is_nothing_typed(rig: Rig, tablet: Tablet) -> None:
    number = torqued(rig)
    type_into(rig, tablet, f"steps/{number}/done", {"value-0": "", "unit-0": "N m"})

    assert said(tablet.page(f"{rig.home}/steps/{number}")) == []


def test_it_is_cleared_by_a_tap_that_leads_back_to_its_page(rig: Rig, tablet: Tablet) -> None:
    type_into(rig, tablet, "steps/3/notes", {"text": "wind"})
    path = f"{rig.home}/steps/3"
    clear = form_to(tablet.page(path), f"{rig.home}/half-typed/clear")

    answer = tablet.ask("POST", clear.action, clear.values, {"referer": f"http://127.0.0.1:8000{path}"})

    assert (answer.status_code, answer.headers["location"]) == (303, path)
    assert values_at(rig, tablet, "/steps/3", "steps/3/notes")["text"] == ""
    assert rig.run.sequence == 1


@pytest.mark.parametrize("htmx", [False, True])
def test_a_form_that_was_taken_is_half_typed_no_more(rig: Rig, tablet: Tablet, htmx: bool) -> None:
    type_into(rig, tablet, "steps/3/notes", {"text": "wind from the north"})

    with other(rig, "driller") as second:
        page, action = f"{rig.home}/steps/3", f"{rig.home}/steps/3/notes"
        answer = second.send(page, action, htmx=htmx)

    assert answer.status_code == (200 if htmx else 303)
    assert values_at(rig, tablet, "/steps/3", "steps/3/notes")["text"] == ""
    assert said(tablet.page(f"{rig.home}/steps/3")) == []


def test_what_arrives_late_does_not_bring_back_a_form_that_was_taken(rig: Rig, tablet: Tablet) -> None:
    key = new_key()
    tablet.post(f"{rig.home}/steps/3/notes", {"text": "wind"}, key=key)

    late = type_into(rig, tablet, "steps/3/notes", {"text": "wind"}, key=key)

    assert late.status_code == 204
    assert said(tablet.page(f"{rig.home}/steps/3")) == []


def test_what_was_typed_before_the_server_died_behind_a_tick_is_not_told_as_open(
    rig: Rig, tablet: Tablet
) -> None:
    key = new_key()
    type_into(rig, tablet, "steps/3/notes", {"text": "wind"}, key=key)

    asyncio.run(act(rig.site, rig.run_id, AddNote(3, "wind"), rig.crew["supervisor"], key))

    assert said(tablet.page(f"{rig.home}/steps/3")) == []


def test_another_note_leaves_the_one_that_is_half_typed(rig: Rig, tablet: Tablet) -> None:
    type_into(rig, tablet, "steps/3/notes", {"text": "wind from the n"})

    asyncio.run(act(rig.site, rig.run_id, AddNote(3, "rain"), rig.crew["driller"], new_key()))

    assert values_at(rig, tablet, "/steps/3", "steps/3/notes")["text"] == "wind from the n"


def test_what_is_entered_from_paper_is_let_go_and_fills_no_other_step(rig: Rig, tablet: Tablet) -> None:
    page, form = "/from-paper?lane=deck", "from-paper"
    first, second = (step.number for step in rig.run.open_deck_steps()[:2])
    key, at = new_key(), f"{rig.clock():%H:%M}"
    typed = {
        "lane": "deck",
        f"at-{first}": at,
        "by": rig.crew["supervisor"].person_id,
        "day": f"{rig.clock():%Y-%m-%d}",
    }
    typed |= {name.replace("-", f"-{first}00"): text for name, text in rig.good_values(first).items()}
    type_into(rig, tablet, f"{form} deck", {**typed, f"at-{second}": at}, key=key)
    assert values_at(rig, tablet, page, form)[f"at-{second}"] == at

    answer = tablet.post(f"{rig.home}/{form}", typed, key=key)

    assert answer.status_code == 303, answer.text
    assert rig.run.is_done(first)
    assert values_at(rig, tablet, page, form)[f"at-{second}"] == ""
    assert unfinished(rig.site, rig.run_id, rig.crew["supervisor"]) == ()


def test_what_is_typed_by_number_ends_where_a_deferral_numbers_steps_anew(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()
    rig.do_floor_until(LINE_TEST)
    type_into(rig, tablet, "from-paper floor", {f"value-{LINE_TEST}000": "3000"})
    waiting = unfinished(rig.site, rig.run_id, rig.crew["supervisor"])
    page = f"{rig.home}/steps/{LINE_TEST}/defer/{LINE_TEST + 4}"

    sent = tablet.send(page, page, {"reason": "no pump yet", "pin": runner.PINS["Test Supervisor"]})

    assert sent.status_code == 303, sent.text
    assert [item.form for item in waiting] == ["from-paper floor"]
    assert unfinished(rig.site, rig.run_id, rig.crew["supervisor"]) == ()


def test_an_act_that_was_recorded_is_not_told_otherwise_where_the_text_stays(
    rig: Rig, tablet: Tablet
) -> None:
    key, supervisor = new_key(), rig.crew["supervisor"]
    type_into(rig, tablet, "steps/3/notes", {"text": "wind"}, key=key)
    assert len(unfinished(rig.site, rig.run_id, supervisor)) == 1
    rig.site.database.writer.close()

    asyncio.run(let_go(rig.site, rig.run_id, (key,), supervisor))

    assert len(unfinished(rig.site, rig.run_id, supervisor)) == 1


def test_a_text_goes_with_its_step_and_not_with_its_number(rig: Rig, tablet: Tablet) -> None:
    type_into(rig, tablet, "steps/3/notes", {"text": "wind"})
    sheet, supervisor = rig.run.sheet, rig.crew["supervisor"]
    moved = (*sheet.steps[:2], replace(sheet.steps[3], number=3), replace(sheet.steps[2], number=4))
    gone = tuple(step for step in sheet.steps if step.number != 3)

    rig.site.runs[rig.run_id] = replace(rig.run, sheet=replace(sheet, steps=(*moved, *sheet.steps[4:])))
    behind = [item.form for item in unfinished(rig.site, rig.run_id, supervisor)]
    rig.site.runs[rig.run_id] = replace(rig.run, sheet=replace(sheet, steps=gone))
    left_out = unfinished(rig.site, rig.run_id, supervisor)

    assert behind == ["steps/4/notes"]
    assert left_out == ()


def test_a_way_back_takes_what_is_typed_by_number_and_leads_the_rest_to_its_step(
    rig: Rig, tablet: Tablet
) -> None:
    rig.do_deck_work()
    rig.do_floor_until(64)
    ahead = rig.run.sheet.steps[rig.run.floor_next - 1]
    first, supervisor = ahead.number - 3, rig.crew["supervisor"]
    type_into(rig, tablet, f"steps/{ahead.number}/notes", {"text": "wind"})
    type_into(rig, tablet, "from-paper floor", {f"value-{ahead.number}000": "501"})
    type_into(rig, tablet, f"back-out/{first}", {"reason": "low"})
    page = f"{rig.home}/back-out/{first}"

    begun = tablet.send(page, page, {"cause": "a test failed", "pin": runner.PINS["Test Supervisor"]})

    [note] = unfinished(rig.site, rig.run_id, supervisor)
    meant = form_meant(note.form)
    assert begun.status_code == 303, begun.text
    assert meant is not None
    assert meant.step > ahead.number
    assert rig.run.sheet.steps[meant.step - 1].key == ahead.key
    assert note.page == f"{rig.home}/steps/{meant.step}#note"


def test_a_refused_form_keeps_what_was_sent_and_stays_half_typed(rig: Rig, tablet: Tablet) -> None:
    number, form = torqued(rig), f"steps/{torqued(rig)}/done"
    type_into(rig, tablet, form, {"value-0": "49", "unit-0": "N m"})

    refused = tablet.send(f"{rig.home}/steps/{number}", f"{rig.home}/{form}", {"value-0": "4x9"})

    assert refused.status_code == 422
    assert form_to(read_page(refused.text), f"{rig.home}/{form}").values["value-0"] == "4x9"
    assert values_at(rig, tablet, f"/steps/{number}", form)["value-0"] == "49"


def test_it_is_gone_once_the_step_is_done_by_another_and_stays_so_when_that_is_undone(
    rig: Rig, tablet: Tablet
) -> None:
    number, form = torqued(rig), f"steps/{torqued(rig)}/done"
    type_into(rig, tablet, form, {"value-0": "501"})

    asyncio.run(runner.finish(rig.site, rig.run_id, rig.run.sheet.steps[number - 1], rig.crew))
    late = type_into(rig, tablet, form, {"value-0": "5012"})
    tablet.post(f"{rig.home}/steps/{number}/undo", {"reason": "looked again"})

    assert late.status_code == 204
    assert values_at(rig, tablet, f"/steps/{number}", form)["value-0"] == ""


def test_a_try_of_another_leaves_what_is_half_typed(rig: Rig, tablet: Tablet) -> None:
    number, form = torqued(rig), f"steps/{torqued(rig)}/done"
    type_into(rig, tablet, form, {"value-0": "501"})
    good = runner.good_readings(rig.run, rig.run.sheet.steps[number - 1])
    low = tuple(replace(entered, value="1", confirmed=True) for entered in good)

    asyncio.run(act(rig.site, rig.run_id, FinishStep(number, low), rig.crew["supervisor"], new_key()))

    assert rig.run.attempts[number]
    assert values_at(rig, tablet, f"/steps/{number}", form)["value-0"] == "501"


def test_it_is_gone_with_the_run_and_nothing_is_kept_behind_its_end(finished: Rig) -> None:
    type_into(finished, finished.tablet, "steps/3/notes", {"text": "wind"})
    supervisor = finished.crew["supervisor"]
    assert len(unfinished(finished.site, finished.run_id, supervisor)) == 1

    asyncio.run(runner.close(finished.site, finished.run_id, finished.crew))
    late = type_into(finished, finished.tablet, "steps/3/notes", {"text": "wind"})

    assert late.status_code == 409
    assert unfinished(finished.site, finished.run_id, supervisor) == ()


def test_it_outlives_the_server(rig: Rig, tablet: Tablet) -> None:
    type_into(rig, tablet, "steps/3/notes", {"text": "wind from the north"})
    rig.site.close()

    with closing(open_site(rig.site.data, clock=rig.clock)) as site:
        again = Tablet(create_application(site, settings_of(rig.site.data)), rig.crew)
        again.sign_in("driller")
        page = again.page(f"{rig.home}/steps/3")
        again.close()

    assert form_to(page, f"{rig.home}/steps/3/notes").values["text"] == "wind from the north"


def test_a_first_reading_of_two_is_shown_to_nobody_else(rig: Rig, tablet: Tablet) -> None:
    number = next(step.number for step in rig.run.sheet.steps if step.operation is Operation.MEET_SWIVEL)
    page, form = f"/steps/{number}", f"steps/{number}/done"
    type_into(rig, tablet, form, {"value-0": "6.1357", "unit-0": "in"})

    with other(rig, "driller") as second:
        shown = {path: second.get(rig.home + path).text for path in (page, "", "/log", "/sheet")}
        own = type_into(rig, second, form, {"value-0": "6.2468", "unit-0": "in"})
        his = values_at(rig, second, page, form)["value-0"]

    assert [path for path, text in shown.items() if "6.1357" in text or "Readings of step" in text] == []
    assert own.status_code == 204
    assert his == "6.2468"
    assert values_at(rig, tablet, page, form)["value-0"] == "6.1357"


def test_a_pin_and_what_belongs_to_no_field_are_never_kept(rig: Rig, tablet: Tablet) -> None:
    typed = {"words": "all agreed", "pin": "482915", "shown": "x", "confirmed-0": "yes"}
    type_into(rig, tablet, "handover/accept", typed)

    [kept] = unfinished(rig.site, rig.run_id, rig.crew["supervisor"])

    assert kept.values == {"words": ("all agreed",)}


def test_nobody_types_without_being_signed_in(rig: Rig) -> None:
    answer = type_into(rig, rig.tablet, "steps/3/notes", {"text": "wind"})

    assert answer.status_code == 401
    assert "sign in" in answer.text


def test_nobody_types_what_his_role_may_not_do(rig: Rig) -> None:
    rig.tablet.sign_in("floor crew")

    answer = type_into(rig, rig.tablet, "handover/draft", {"words": "all is well"})

    assert answer.status_code == 403
    assert "Test Hand" in answer.text


@pytest.mark.parametrize(
    ("form", "status"),
    [
        ("steps/9999/notes", 404),
        ("steps/x/notes", 404),
        ("hold-points/stage/sign", 422),
        ("steps/3/photos", 422),
        ("", 422),
        ("a" * 5_000, 422),
    ],
)
def test_a_form_that_is_not_kept_is_refused_in_one_line(
    rig: Rig, tablet: Tablet, form: str, status: int
) -> None:
    answer = type_into(rig, tablet, form, {"text": "wind"})

    assert answer.status_code == status
    assert answer.headers["content-type"].startswith("text/plain")
    assert len(answer.text) < 200


def test_more_than_fits_is_refused_with_the_limit_and_what_was_kept_stays(rig: Rig, tablet: Tablet) -> None:
    type_into(rig, tablet, "steps/3/notes", {"text": "wind"})

    answer = type_into(rig, tablet, "steps/3/notes", {"text": "w" * LONGEST})

    assert answer.status_code == 413
    assert f"no more than {LONGEST} are kept" in answer.text
    assert values_at(rig, tablet, "/steps/3", "steps/3/notes")["text"] == "wind"


def test_there_are_only_so_many_half_typed_forms_of_a_run(
    rig: Rig, tablet: Tablet, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.services.half_typed.MOST_OF_A_RUN", 2)
    for number in (1, 2):
        type_into(rig, tablet, f"steps/{number}/notes", {"text": "wind"})

    one_more = type_into(rig, tablet, "steps/3/notes", {"text": "wind"})
    same_again = type_into(rig, tablet, "steps/2/notes", {"text": "rain"})

    assert one_more.status_code == 409
    assert "half typed" in one_more.text
    assert same_again.status_code == 204
    assert MOST_OF_A_RUN > 100


def test_another_site_cannot_type(rig: Rig, tablet: Tablet) -> None:
    sent = {"form": "steps/3/notes", "text": "wind", "key": new_key()}

    answer = tablet.ask("POST", f"{rig.home}/half-typed", sent, {"Origin": "http://elsewhere.example"})

    assert answer.status_code == 403
    assert unfinished(rig.site, rig.run_id, rig.crew["supervisor"]) == ()


def test_every_form_of_a_run_is_kept_or_said_not_to_be(rig: Rig) -> None:
    start = "/runs/{run_id}/"
    posted = {
        route.path.removeprefix(start)
        for route in rig.tablet.application.routes
        if isinstance(route, APIRoute) and "POST" in (route.methods or ()) and route.path.startswith(start)
    }

    kept = {path for path in posted if form_meant(path.replace("{", "").replace("}", "")) is not None}

    assert posted - kept == SIGNED | FILES | NOTHING_TO_TYPE
    assert len(FORMS) == len(kept)


def test_whatever_a_person_types_into_a_kept_form_is_kept(rig: Rig, tablet: Tablet) -> None:
    stage = next(stage for stage in rig.run.sheet.stages if stage.hold_point)
    clamp = next(step.dressed.station for step in rig.run.sheet.steps if step.dressed)
    done = torqued(rig)
    asyncio.run(runner.finish(rig.site, rig.run_id, rig.run.sheet.steps[done - 1], rig.crew))
    pages = (
        f"/steps/{done}",
        f"/steps/{next(iter(rig.run.open_deck_steps())).number}",
        "/deviations",
        "/load-out",
        "/hold",
        "/handover",
        "/handover/take-charge",
        "/from-paper?lane=deck",
        "/close-out",
        f"/hold-points/{stage.id}",
        f"/swaps?place={clamp}",
    )

    forms = [form for page in pages for form in tablet.page(rig.home + page).all("form")]
    kept = {
        form.attributes["data-half-typed"]: form for form in forms if "data-half-typed" in form.attributes
    }
    left_out = {
        (name, field.attributes["name"])
        for name, form in kept.items()
        for field in fields_of(form)
        if not is_kept(name, field)
    }

    assert left_out == set()
    assert len(kept) >= 14
