"""News of a run for a page that is open: as a stream, or once for a page that asks every few seconds."""

import json
from collections.abc import AsyncIterator

from fastapi import APIRouter
from fastapi.responses import JSONResponse, Response, StreamingResponse

from app.services.live import News, arrive, live, news_for
from app.web.contexts.here import here_in_words
from app.web.dependencies import Asking

# A stream that is packed or kept on the way would come late.
HEADERS = {"Cache-Control": "no-store", "X-Accel-Buffering": "no"}
MILLISECONDS_UNTIL_AGAIN = 2000

routes = APIRouter(include_in_schema=False, prefix="/runs/{run_id}/live")


@routes.get("")
async def stream(asked: Asking, run_id: str, seen: int = 0, step: int = 0) -> Response:
    """Send news of a run for as long as the page is open."""
    coming = live(asked.site, asked.looking(run_id, step, seen))
    # Whoever may not listen is told so before a stream begins.
    first = await anext(coming)
    return StreamingResponse(_sent(first, coming), media_type="text/event-stream", headers=HEADERS)


@routes.get("/once")
async def once(asked: Asking, run_id: str, seen: int = 0, step: int = 0) -> Response:
    """Send what the stream would begin with."""
    page = asked.looking(run_id, step, seen)
    news = news_for(asked.site, page)
    arrive(asked.site, page)
    return JSONResponse(_plain(news), headers=HEADERS)


async def _sent(first: News | None, coming: AsyncIterator[News | None]) -> AsyncIterator[str]:
    yield f"retry: {MILLISECONDS_UNTIL_AGAIN}\n\n{_event(first)}"
    async for news in coming:
        yield _event(news)


def _event(news: News | None) -> str:
    if news is None:
        return ": nothing new\n\n"
    return f"id: {news.sequence}\ndata: {json.dumps(_plain(news))}\n\n"


def _plain(news: News) -> dict[str, object]:
    return {
        "sequence": news.sequence,
        "by": news.by,
        "touched": news.touched,
        "here": here_in_words(news.here),
    }
