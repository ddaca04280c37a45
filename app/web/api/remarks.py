"""Operations that add to a run beside its steps: notes, photos, and the load-out list."""

from fastapi import Request, Response

from app.domain.commands import AddNote, AddToLoadOut, CountItems, SettleItems
from app.services.photos import PhotoOf, attach_photo, photo_of_run
from app.services.runs import act, run_of
from app.web.api.answers import ActedAnswer
from app.web.api.bodies import Counting, LoadOutItem, Note, Settling
from app.web.api.calls import KEYED, Calling, acted, file_body, operations
from app.web.api.run_answers import ItemLine, LoadOutLine

routes = operations("remarks")
PHOTO = file_body("image/jpeg", "image/png", "image/webp")


@routes.post("/runs/{run_id}/notes", response_model=ActedAnswer, openapi_extra=KEYED)
async def add_note(call: Calling, run_id: str, body: Note) -> Response:
    """Write a remark on a step or on the run."""
    return acted(
        await act(call.site, run_id, AddNote(body.step, body.text), call.who, call.key, seen=call.seen)
    )


@routes.post("/runs/{run_id}/photos", response_model=ActedAnswer, openapi_extra=KEYED | PHOTO)
async def add_photo(
    call: Calling,
    request: Request,
    run_id: str,
    *,
    name: str = "",
    step: int = 0,
    deviation: int = 0,
    stage: str = "",
) -> Response:
    """Attach a photo, sent as the body, to a step, the run, a deviation or the hold point before a stage."""
    content, of = await request.body(), PhotoOf(step, deviation, stage)
    return acted(
        await attach_photo(
            call.site, run_id, of, content=content, name=name, who=call.who, key=call.key, seen=call.seen
        )
    )


@routes.get("/runs/{run_id}/photos/{content}", response_class=Response)
def show_photo(call: Calling, run_id: str, content: str) -> Response:
    """Return a photo of a run by the hash of its bytes, which the log names."""
    photo = photo_of_run(call.site, run_id, content)
    return Response(photo.content, media_type=photo.media_type)


@routes.get("/runs/{run_id}/load-out")
def show_load_out(call: Calling, run_id: str) -> list[LoadOutLine]:
    """Return the load-out list and where each serial went."""
    return LoadOutLine.all_of(run_of(call.site, run_id))


@routes.post("/runs/{run_id}/load-out", response_model=ActedAnswer, openapi_extra=KEYED)
async def add_to_load_out(call: Calling, run_id: str, body: LoadOutItem) -> Response:
    """Put a thing that is on site on the load-out list."""
    command = AddToLoadOut(body.serial, body.item, body.reason)
    return acted(await act(call.site, run_id, command, call.who, call.key, seen=call.seen))


@routes.post("/runs/{run_id}/load-out/settle", response_model=ActedAnswer, openapi_extra=KEYED)
async def settle_items(call: Calling, run_id: str, body: Settling) -> Response:
    """Account for things of the list that did not go in the well."""
    command = SettleItems(tuple(body.serials), body.settlement, body.reason)
    return acted(await act(call.site, run_id, command, call.who, call.key, seen=call.seen))


@routes.get("/runs/{run_id}/counts")
def show_counts(call: Calling, run_id: str) -> list[ItemLine]:
    """Return what came of each type of clamp and protector, and where it went."""
    return ItemLine.all_of(run_of(call.site, run_id))


@routes.post("/runs/{run_id}/counts", response_model=ActedAnswer, openapi_extra=KEYED)
async def count_items(call: Calling, run_id: str, body: Counting) -> Response:
    """Count a thing without serials."""
    command = CountItems(body.item, body.issued, body.returned, body.rejected, body.reason)
    return acted(await act(call.site, run_id, command, call.who, call.key, seen=call.seen))
