"""Paper beside the tablet: what is left is printed, and what was done by it is entered."""

import asyncio
from collections.abc import Callable, Iterator

from fastapi import APIRouter
from fastapi.responses import Response

from app.domain.commands import Entered, FinishStep, ReadAgain
from app.domain.run import Run
from app.domain.sheet import Lane, Step
from app.services.paper import enter_paper, on_paper, paper_of, paper_pages, time_on_paper
from app.services.people import everybody
from app.services.runs import Acted, run_of
from app.web.contexts.frame import NO_REFUSAL, Refusal
from app.web.contexts.paper import FORM, FromPaperPage, from_paper_page, names_to_enter, paper_page, place_of
from app.web.dependencies import Asked, Asking, Form, Known, Typed
from app.web.posts import answer
from app.web.render import respond

routes = APIRouter(include_in_schema=False, prefix="/runs/{run_id}")


@routes.get("/paper")
async def paper(asked: Known, run_id: str) -> Response:
    """Show what is left of a run, to be printed."""
    run = run_of(asked.site, run_id)
    return respond(asked.request, paper_page(asked.frame(), run, paper_of(asked.site, run_id)))


@routes.get("/paper/pdf")
async def paper_pdf(asked: Known, run_id: str) -> Response:
    """Return what is left of a run as a file to be printed."""
    # Setting the pages takes a second or more, which ticks do not wait for.
    pages = await asyncio.to_thread(paper_pages, asked.site, run_id)
    headers = {
        "Content-Disposition": f'inline; filename="{run_id}-remaining.pdf"',
        "Cache-Control": "no-store",
    }
    return Response(pages, media_type="application/pdf", headers=headers)


@routes.get("/from-paper")
async def from_paper(asked: Known, run_id: str, lane: str = Lane.FLOOR.value) -> Response:
    """Show the next steps with fields for what the paper says."""
    return respond(asked.request, _page(asked, run_id, _lane(lane), NO_REFUSAL))


@routes.post("/from-paper")
async def enter(asked: Asking, typed: Form, run_id: str) -> Response:
    """Enter what the paper says of the steps that have a time, each for itself."""
    lane, refused, before = _lane(typed.text("lane")), 0, frozenset(run_of(asked.site, run_id).done)

    def telling(step: int) -> None:
        nonlocal refused
        refused = step

    async def entering() -> tuple[Acted, ...]:
        run = run_of(asked.site, run_id)
        entries = tuple(_entries(asked, run, lane, typed, telling))
        return await enter_paper(
            asked.site, run_id, entries, asked.who, typed.key, seen=typed.seen, telling=telling
        )

    return await answer(
        asked,
        FORM,
        typed,
        entering(),
        show=lambda refusal: _page(asked, run_id, lane, refusal, refused=refused, before=before),
        then=lambda: f"/runs/{run_id}/from-paper?lane={lane.value}",
    )


def _page(
    asked: Asked,
    run_id: str,
    lane: Lane,
    refusal: Refusal,
    *,
    refused: int = 0,
    before: frozenset[int] | None = None,
) -> FromPaperPage:
    run, people, now = run_of(asked.site, run_id), everybody(asked.site), asked.site.clock()
    entered = tuple(sorted(run.done.keys() - before)) if before is not None else ()
    return from_paper_page(
        asked.frame(), run, lane, people, now, refusal=refusal, refused=refused, entered=entered
    )


def _lane(text: str) -> Lane:
    return Lane.DECK if text == Lane.DECK.value else Lane.FLOOR


def _entries(
    asked: Asked, run: Run, lane: Lane, typed: Typed, telling: Callable[[int], None]
) -> Iterator[FinishStep | ReadAgain]:
    """Yield the entry of each step for which anything was typed.

    Raises: LateEntryError where a time is missing or cannot be read; UnknownPersonError.
    """
    zone = asked.site.clock().tzinfo
    for step in run.sheet.lane(lane):
        readings = tuple(_readings(run, step, typed))
        at = typed.text(f"at-{step.number}").strip()
        if at or any(entered.value.strip() for entered in readings):
            telling(step.number)
            by = typed.text(f"by-{step.number}") or typed.text("by")
            day = typed.text(f"day-{step.number}") or typed.text("day")
            late = on_paper(asked.site, time_on_paper(step.number, f"{day} {at}", zone), by)
            is_second = step.number in run.waiting
            yield (ReadAgain if is_second else FinishStep)(step.number, readings, late)


def _readings(run: Run, step: Step, typed: Typed) -> Iterator[Entered]:
    names = names_to_enter(run, step)
    for at, wanted in enumerate(step.readings):
        if wanted.name not in names:
            continue
        place = place_of(step, at)
        yield Entered(
            name=wanted.name,
            value=typed.text(f"value-{place}"),
            unit=typed.text(f"unit-{place}"),
            tool=typed.text(f"tool-{place}"),
            confirmed=typed.text(f"confirmed-{place}") == "yes",
        )
