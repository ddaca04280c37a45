"""Hold points: the talk, and each signature by the one who gives it."""

from fastapi import APIRouter
from fastapi.responses import Response

from app.domain.commands import HoldTalk
from app.domain.events.who import Who
from app.services.people import everybody
from app.services.photos import PhotoOf, attach_photo
from app.services.runs import act, run_of
from app.services.signing import sign_hold_point
from app.web.contexts.frame import NO_REFUSAL, Refusal
from app.web.contexts.hold_points import HoldPointPage, hold_point_page, hold_points_page
from app.web.dependencies import Asked, Asking, Form, Known, sent_photo
from app.web.posts import answer
from app.web.render import respond

routes = APIRouter(include_in_schema=False, prefix="/runs/{run_id}/hold-points")


@routes.get("")
async def hold_points(asked: Known, run_id: str) -> Response:
    """Show all hold points of a run."""
    return respond(asked.request, hold_points_page(asked.frame(), run_of(asked.site, run_id)))


@routes.get("/{stage_id}")
async def hold_point(asked: Known, run_id: str, stage_id: str) -> Response:
    """Show one hold point."""
    return respond(asked.request, _page(asked, run_id, stage_id, NO_REFUSAL))


@routes.post("/{stage_id}/talk")
async def talk(asked: Asking, typed: Form, run_id: str, stage_id: str) -> Response:
    """Record the talk: its topics and who was there."""
    there = tuple(
        Who(person.id, person.name, person.role)
        for person in everybody(asked.site)
        if person.active and person.id in typed.texts("there")
    )
    command = HoldTalk(stage_id, typed.texts("topic"), there)
    return await answer(
        asked,
        "talk",
        typed,
        act(asked.site, run_id, command, asked.who, typed.key, seen=typed.seen),
        show=lambda refusal: _page(asked, run_id, stage_id, refusal),
        then=lambda: f"/runs/{run_id}/hold-points/{stage_id}",
    )


@routes.post("/{stage_id}/sign")
async def sign(asked: Asking, typed: Form, run_id: str, stage_id: str) -> Response:
    """Sign for oneself, by one's own PIN."""
    person_id = typed.text("person")
    signing = sign_hold_point(
        asked.site,
        run_id,
        stage_id,
        person_id=person_id,
        pin=typed.text("pin"),
        shown=typed.text("shown"),
        key=typed.key,
        seen=typed.seen,
    )
    return await answer(
        asked,
        f"sign-{person_id}",
        typed,
        signing,
        show=lambda refusal: _page(asked, run_id, stage_id, refusal),
        then=lambda: f"/runs/{run_id}/hold-points/{stage_id}",
    )


@routes.post("/{stage_id}/photos")
async def photo(asked: Asking, typed: Form, run_id: str, stage_id: str) -> Response:
    """Attach a photo to a hold point."""
    content, name = await sent_photo(typed)
    of = PhotoOf(stage=stage_id)
    return await answer(
        asked,
        "photo",
        typed,
        attach_photo(
            asked.site, run_id, of, content=content, name=name, who=asked.who, key=typed.key, seen=typed.seen
        ),
        show=lambda refusal: _page(asked, run_id, stage_id, refusal),
        then=lambda: f"/runs/{run_id}/hold-points/{stage_id}",
    )


def _page(asked: Asked, run_id: str, stage_id: str, refusal: Refusal) -> HoldPointPage:
    run, now = run_of(asked.site, run_id), asked.site.clock()
    return hold_point_page(asked.frame(), run, stage_id, everybody(asked.site), now, refusal=refusal)
