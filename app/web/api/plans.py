"""Operations on plans: check a text, keep it, read it back, release it as a run."""

from asyncio import to_thread

from fastapi import Request, Response

from app.services.plans import all_plans, keep_plan_once, plan_of, proof_of, release
from app.services.proof import prove
from app.web.api.answers import ActedAnswer
from app.web.api.bodies import Release
from app.web.api.calls import KEYED, Calling, acted, file_body, operations
from app.web.api.plan_answers import CheckAnswer, PlanAnswer, PlanLine

routes = operations("plans")
TOML = file_body("application/toml", "text/plain")


@routes.post("/plans/check", openapi_extra=TOML)
async def check_plan(call: Calling, request: Request) -> CheckAnswer:
    """Return every finding on a plan, sent as the body; nothing is kept."""
    text = await request.body()
    return CheckAnswer.of(await to_thread(prove, text, call.site.clock().date()))


@routes.get("/plans")
def list_plans(call: Calling) -> list[PlanLine]:
    """Return a line for each kept plan."""
    return [PlanLine.model_validate(kept) for kept in all_plans(call.site)]


@routes.post("/plans", openapi_extra=KEYED | TOML, response_model=PlanLine)
async def keep_plan(call: Calling, request: Request, name: str = "") -> Response:
    """Keep a plan, sent as the body, where it can be read; without a name it is called as its job."""
    done = await keep_plan_once(call.site, name, await request.body(), call.who, key=call.key)
    return acted(done, PlanLine.model_validate(plan_of(call.site, done.run_id)))


@routes.get("/plans/{plan_id}")
async def show_plan(call: Calling, plan_id: str) -> PlanAnswer:
    """Return a kept plan, its text, and every finding on it today."""
    kept = plan_of(call.site, plan_id)
    # Compiling takes a tenth of a second, which ticks of other people should not wait for.
    return PlanAnswer.of_kept(kept, await to_thread(proof_of, call.site, kept))


@routes.post("/plans/{plan_id}/release", response_model=ActedAnswer, openapi_extra=KEYED)
async def release_plan(call: Calling, plan_id: str, body: Release) -> Response:
    """Check, freeze and sign for a plan; what comes back names the new run."""
    accepted, seen = tuple(body.accepted), body.seen
    return acted(
        await release(call.site, plan_id, call.who, pin=body.pin, accepted=accepted, key=call.key, seen=seen)
    )
