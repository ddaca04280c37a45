"""Operations on hold points: read one, hold its talk, sign it."""

from fastapi import Response

from app.domain.commands import HoldTalk
from app.domain.events.who import Who
from app.domain.refusals import HoldPointError
from app.services.people import everybody
from app.services.runs import act, run_of
from app.services.signing import sign_hold_point
from app.services.site import Site
from app.store.people import UnknownPersonError
from app.web.api.answers import ActedAnswer
from app.web.api.bodies import Signature, Talk
from app.web.api.calls import KEYED, Calling, acted, operations
from app.web.api.run_answers import HoldAnswer

routes = operations("hold points")


@routes.get("/runs/{run_id}/holds/{stage_id}")
def show_hold(call: Calling, run_id: str, stage_id: str) -> HoldAnswer:
    """Return the hold point before a stage as far as it has come."""
    run = run_of(call.site, run_id)
    stage = run.sheet.by_stage.get(stage_id)
    if stage is None or stage.hold_point is None:
        raise HoldPointError(f"There is no hold point before '{stage_id}'; choose one of the sheet.")
    return HoldAnswer.of(run, stage)


@routes.post("/runs/{run_id}/holds/{stage_id}/talk", response_model=ActedAnswer, openapi_extra=KEYED)
async def hold_talk(call: Calling, run_id: str, stage_id: str, body: Talk) -> Response:
    """Record the talk before a stage: the topics, and who was there."""
    command = HoldTalk(stage_id, tuple(body.topics), _present(call.site, body.attendance))
    return acted(await act(call.site, run_id, command, call.who, call.key, seen=call.seen))


@routes.post("/runs/{run_id}/holds/{stage_id}/sign", response_model=ActedAnswer, openapi_extra=KEYED)
async def sign_hold(call: Calling, run_id: str, stage_id: str, body: Signature) -> Response:
    """Sign a hold point with one person's PIN; with the last signature the stage is open."""
    return acted(
        await sign_hold_point(
            call.site,
            run_id,
            stage_id,
            person_id=body.person,
            pin=body.pin,
            shown=body.shown,
            key=call.key,
            seen=call.seen,
        )
    )


def _present(site: Site, person_ids: list[str]) -> tuple[Who, ...]:
    known = {person.id: person for person in everybody(site) if person.active}
    for person_id in person_ids:
        if person_id not in known:
            raise UnknownPersonError(person_id)
    people = (known[person_id] for person_id in dict.fromkeys(person_ids))
    return tuple(Who(person.id, person.name, person.role) for person in people)
