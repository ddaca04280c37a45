"""A step: ticked, undone, put right, remarked on; each form comes back to the page that it stood on."""

from collections.abc import Awaitable
from dataclasses import dataclass

from fastapi import APIRouter
from fastapi.responses import Response

from app.domain.commands import (
    AddNote,
    CorrectReading,
    Entered,
    FinishStep,
    RaiseDeviation,
    ReadAgain,
    UndoStep,
)
from app.domain.refusals import UnknownStepError
from app.domain.run import Run
from app.domain.second_readings import asked_twice
from app.domain.sheet import Step
from app.services.live import arrive
from app.services.paper import on_paper, time_on_paper
from app.services.photos import PhotoOf, attach_photo, photo_of_run
from app.services.runs import Acted, act, run_of
from app.web.contexts.deviations import disposition_of
from app.web.contexts.frame import Refusal
from app.web.contexts.runs import run_page
from app.web.contexts.step import next_deck, step_page
from app.web.contexts.steps import done_form, second_form
from app.web.dependencies import Asked, Asking, Form, Known, Typed, sent_photo
from app.web.posts import answer
from app.web.render import Page, respond


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a form of a step stands."""

    run_id: str
    number: int
    form: str


routes = APIRouter(include_in_schema=False, prefix="/runs/{run_id}")


@routes.get("/steps/{number}")
async def step(asked: Known, run_id: str, number: int) -> Response:
    """Show one step."""
    page = step_page(asked.frame(), run_of(asked.site, run_id), number)
    arrive(asked.site, asked.looking(run_id, number))
    return respond(asked.request, page)


@routes.post("/steps/{number}/done")
async def finish(asked: Asking, typed: Form, run_id: str, number: int) -> Response:
    """Tick a step, with what was read."""
    wanted = _step(run_of(asked.site, run_id), number)
    command = FinishStep(number, tuple(_entered(wanted, at, typed) for at in range(len(wanted.readings))))
    doing = act(asked.site, run_id, command, asked.who, typed.key, seen=typed.seen)
    return await _back(asked, typed, Spot(run_id, number, done_form(number)), doing)


@routes.post("/steps/{number}/second")
async def read_again(asked: Asking, typed: Form, run_id: str, number: int) -> Response:
    """Take the second reading of a step."""
    run = run_of(asked.site, run_id)
    wanted = _step(run, number)
    twice = asked_twice(run.plan, wanted)
    entered = (_entered(wanted, at, typed) for at, item in enumerate(wanted.readings) if item.name in twice)
    doing = act(asked.site, run_id, ReadAgain(number, tuple(entered)), asked.who, typed.key, seen=typed.seen)
    return await _back(asked, typed, Spot(run_id, number, second_form(number)), doing)


@routes.post("/steps/{number}/undo")
async def undo(asked: Asking, typed: Form, run_id: str, number: int) -> Response:
    """Take a tick back."""
    command = UndoStep(number, typed.text("reason"))
    doing = act(asked.site, run_id, command, asked.who, typed.key, seen=typed.seen)
    return await _back(asked, typed, Spot(run_id, number, "undo"), doing)


@routes.post("/steps/{number}/correct/{at}")
async def correct(asked: Asking, typed: Form, run_id: str, number: int, at: int) -> Response:
    """Put a reading right."""
    wanted = _step(run_of(asked.site, run_id), number)

    async def doing() -> Acted:
        late, when = None, typed.text("late-at").strip()
        if when:
            zone = asked.site.clock().tzinfo
            late = on_paper(asked.site, time_on_paper(number, when, zone), typed.text("late-by"))
        command = CorrectReading(number, _entered(wanted, at, typed), typed.text("reason"), late)
        return await act(asked.site, run_id, command, asked.who, typed.key, seen=typed.seen)

    return await _back(asked, typed, Spot(run_id, number, f"correct-{at}"), doing())


@routes.post("/steps/{number}/deviations")
async def deviate(asked: Asking, typed: Form, run_id: str, number: int) -> Response:
    """Raise a deviation at a step."""

    async def doing() -> Acted:
        proposed = disposition_of(typed.text("proposed"))
        finding = typed.text("finding")
        command = RaiseDeviation(number, typed.text("what"), typed.text("why"), proposed, finding)
        return await act(asked.site, run_id, command, asked.who, typed.key, seen=typed.seen)

    return await _back(asked, typed, Spot(run_id, number, "deviation"), doing())


@routes.post("/steps/{number}/notes")
async def note(asked: Asking, typed: Form, run_id: str, number: int) -> Response:
    """Write a remark on a step."""
    doing = act(
        asked.site, run_id, AddNote(number, typed.text("text")), asked.who, typed.key, seen=typed.seen
    )
    return await _back(asked, typed, Spot(run_id, number, "note"), doing)


@routes.post("/steps/{number}/photos")
async def photo(asked: Asking, typed: Form, run_id: str, number: int) -> Response:
    """Attach a photo to a step."""
    content, name = await sent_photo(typed)
    doing = attach_photo(
        asked.site,
        run_id,
        PhotoOf(step=number),
        content=content,
        name=name,
        who=asked.who,
        key=typed.key,
        seen=typed.seen,
    )
    return await _back(asked, typed, Spot(run_id, number, "photo"), doing)


@routes.get("/photos/{content_hash}")
async def show_photo(asked: Known, run_id: str, content_hash: str) -> Response:
    """Return the bytes of a photo."""
    kept = photo_of_run(asked.site, run_id, content_hash)
    headers = {"Cache-Control": "private, max-age=31536000, immutable"}
    return Response(kept.content, media_type=kept.media_type, headers=headers)


async def _back(asked: Asked, typed: Typed, spot: Spot, doing: Awaitable[Acted]) -> Response:
    """Return to the page on which the form stood; deck work goes on to the next open deck step."""
    back = typed.text("back", "step")

    def show(refusal: Refusal) -> Page:
        run = run_of(asked.site, spot.run_id)
        number = _refused_on(run, back, spot) if refusal.text else _landing(run, back, spot)
        if number:
            return step_page(asked.frame(), run, number, refusal)
        from app.services.figures import outside_now  # noqa: PLC0415

        return run_page(asked.frame(), run, refusal, outside_now(run, asked.site.clock()))

    def then() -> str:
        number = _landing(run_of(asked.site, spot.run_id), back, spot)
        return f"/runs/{spot.run_id}" + (f"/steps/{number}" if number else "")

    return await answer(asked, spot.form, typed, doing, show=show, then=then)


def _stay(back: str, spot: Spot) -> int:
    """Return the step whose page the form stood on, 0 for the page of the run."""
    return 0 if back == "run" else spot.number


def _refused_on(run: Run, back: str, spot: Spot) -> int:
    """Return the step whose page shows a refused form again, 0 where the page of the run does.

    Once the run has moved on, its page holds the button of another step, under the same finger.
    """
    current = run.current()
    has_moved_on = current is None or current.number != spot.number
    return spot.number if has_moved_on else _stay(back, spot)


def _landing(run: Run, back: str, spot: Spot) -> int:
    """Return the step whose page follows, 0 for the page of the run."""
    if back == "deck" and run.is_done(spot.number):
        return next_deck(run, spot.number)
    return _stay(back, spot)


def _step(run: Run, number: int) -> Step:
    step = run.sheet.step(number)
    if step is None:
        raise UnknownStepError(number, len(run.sheet.steps))
    return step


def _entered(step: Step, at: int, typed: Typed) -> Entered:
    if not 0 <= at < len(step.readings):
        return Entered(f"reading {at + 1}", "")
    return Entered(
        name=step.readings[at].name,
        value=typed.text(f"value-{at}"),
        unit=typed.text(f"unit-{at}"),
        tool=typed.text(f"tool-{at}"),
        confirmed=typed.text(f"confirmed-{at}") == "yes",
    )
