"""Answers packed for the way through the air, where that saves more than it costs."""

from starlette.middleware.gzip import GZipMiddleware

from app.web.guards import API, Receive, Scope, Send


class Packed(GZipMiddleware):
    """Packs answers, except those to other programs' acts: they are short, and looking costs a tap."""

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, with its answer packed where that is worth it."""
        if scope["type"] == "http" and scope["method"] == "POST" and scope["path"].startswith(API):
            await self.app(scope, receive, send)
        else:
            await super().__call__(scope, receive, send)
