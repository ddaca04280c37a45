"""What follows a form: the page that shows what it did, or the same form with the refusal in it."""

from collections.abc import Awaitable, Callable

from fastapi.responses import RedirectResponse, Response

from app.domain.overtaken import StaleError
from app.services.half_typed import let_go
from app.web.contexts.frame import NO_REFUSAL, Refusal
from app.web.contexts.log_line import LogLine, log_line
from app.web.dependencies import Asked, Typed
from app.web.errors import KNOWN, status_of
from app.web.render import Page, is_htmx, respond, respond_elsewhere

Show = Callable[[Refusal], Page]


async def answer(
    asked: Asked,
    form: str,
    typed: Typed,
    doing: Awaitable[object],
    *,
    show: Show,
    then: Callable[[], str],
    leaves: bool = False,
) -> Response:
    """Return the page after an act; where the act is refused, the form as it was typed with the sentence.

    An act that leaves for a page of another kind is followed there by the browser.
    """
    try:
        await doing
    except KNOWN as error:
        return respond(asked.request, show(refusal_of(form, typed, error)), status_of(error))
    await let_go(asked.site, asked.request.path_params.get("run_id", ""), typed.keys, asked.who)
    if is_htmx(asked.request) and not leaves:
        return respond_elsewhere(asked.request, show(NO_REFUSAL), then())
    return go(asked, then())


def go(asked: Asked, target: str) -> Response:
    """Return the way to another page, whoever asks."""
    if is_htmx(asked.request):
        return Response(status_code=204, headers={"HX-Redirect": target})
    return RedirectResponse(target, 303)


def refusal_of(form: str, typed: Typed, error: Exception) -> Refusal:
    """Return a refusal with what had been typed; PINs are never sent back."""
    kept = {name: texts for name, texts in typed.values.items() if not name.startswith("pin")}
    return Refusal(
        form=form,
        text=str(error),
        rule=getattr(error, "rule", "refused"),
        field=getattr(error, "field", ""),
        question=getattr(error, "question", False),
        values=kept,
        changes=_changes(error),
    )


def _changes(error: Exception) -> tuple[LogLine, ...]:
    if not isinstance(error, StaleError):
        return ()
    return tuple(log_line(happened, error.run) for happened in error.changes)
