"""News of a run over HTTP: a stream for open pages, one answer for those that ask, and who is there."""

import asyncio
import json
from collections.abc import AsyncIterator, Iterator, MutableMapping
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from typing import Any

import pytest

from app.domain.commands import AddNote
from app.services import listeners
from app.services.runs import act, new_key
from app.web.application import create_application
from tests.web.api.conftest import Program
from tests.web.conftest import Rig, Tablet, settings_of

Message = MutableMapping[str, Any]


def test_a_stream_begins_with_what_is_and_goes_on_with_what_comes(rig: Rig, tablet: Tablet) -> None:
    async def listening() -> list[dict[str, Any]]:
        async with stream(rig, tablet, f"seen={rig.run.sequence}&step=1") as heard:
            began = await heard.news()
            await note(rig, 1)
            return [began, await heard.news()]

    began, came = tablet.do(listening())

    assert began == {"sequence": 1, "by": [], "touched": False, "here": []}
    assert came == {"sequence": 2, "by": ["Test Driller"], "touched": True, "here": []}


def test_a_stream_is_told_as_one_and_kept_by_nobody(rig: Rig, tablet: Tablet) -> None:
    async def listening() -> Heard:
        async with stream(rig, tablet, "seen=1") as heard:
            await heard.news()
            return heard

    heard = tablet.do(listening())

    assert heard.status == 200
    assert heard.headers["content-type"].startswith("text/event-stream")
    assert heard.headers["cache-control"] == "no-store"
    assert "content-encoding" not in heard.headers
    assert heard.text.startswith("retry: 2000\n\nid: 1\ndata: {")


def test_a_page_that_is_closed_listens_no_more(rig: Rig, tablet: Tablet) -> None:
    async def listening() -> None:
        async with stream(rig, tablet, "seen=1") as heard:
            await heard.news()
            assert rig.run_id in rig.site.listeners.waiting

    tablet.do(listening())

    assert rig.site.listeners.waiting == {}


def test_a_page_more_than_may_listen_is_told_to_ask(
    rig: Rig, tablet: Tablet, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(listeners, "MOST_LISTENERS", 0)

    refused = tablet.get(f"{rig.home}/live?seen=1")
    answer = tablet.get(f"{rig.home}/live/once?seen=0")

    assert refused.status_code == 503
    assert "no more can be" in refused.text
    assert answer.json() == {"sequence": 1, "by": ["Test Supervisor"], "touched": True, "here": []}


@pytest.mark.parametrize("ending", ["", "/once"])
def test_nobody_is_told_anything(rig: Rig, ending: str) -> None:
    answer = rig.tablet.get(f"{rig.home}/live{ending}?seen=1")

    assert answer.status_code == 401


def test_the_pages_say_who_else_is_at_which_step(rig: Rig, tablet: Tablet, other: Tablet) -> None:
    other.page(f"{rig.home}/steps/3")

    run, step = (tablet.page(rig.home + path).one("section", id="here") for path in ("", "/steps/1"))

    assert "Test Driller is on step 3" in run.text()
    assert "Test Driller is on step 3" in step.text()
    assert step.attributes["data-step"] == "1"


def test_who_has_gone_away_fades(rig: Rig, tablet: Tablet, other: Tablet) -> None:
    other.page(f"{rig.home}/steps/3")
    rig.clock.pass_by(16)

    assert "Nobody else just now" in tablet.page(rig.home).one("section", id="here").text()


def test_other_programs_are_told_who_is_there(rig: Rig, other: Tablet, program: Program) -> None:
    other.page(f"{rig.home}/steps/3")

    answer = program.get("/api/runs/{run_id}/presence", {"run_id": rig.run_id})

    driller = rig.crew["driller"]
    who = {"person_id": driller.person_id, "name": driller.name, "role": driller.role}
    assert answer.json() == [{"who": who, "step": 3, "at": rig.clock.now.isoformat()}]


@dataclass(slots=True)
class Heard:
    """What came of a stream so far."""

    messages: asyncio.Queue[Message] = field(default_factory=asyncio.Queue)
    status: int = 0
    headers: dict[str, str] = field(default_factory=dict)
    text: str = ""
    told: int = 0

    async def news(self) -> dict[str, Any]:
        """Return the next news."""
        async with asyncio.timeout(20):
            while self.text.count("\ndata: ") <= self.told:
                self.take(await self.messages.get())
        self.told += 1
        told: dict[str, Any] = json.loads(self.text.split("\ndata: ")[self.told].partition("\n")[0])
        return told

    def take(self, message: Message) -> None:
        """Keep what a message carries."""
        if message["type"] == "http.response.start":
            self.status = message["status"]
            self.headers = {name.decode(): value.decode() for name, value in message["headers"]}
        else:
            self.text += message["body"].decode()


@asynccontextmanager
async def stream(rig: Rig, tablet: Tablet, asked: str) -> AsyncIterator[Heard]:
    """Hand over the stream of a run as a browser hears it, and go away afterwards."""
    heard, gone = Heard(), asyncio.Event()
    cookies = "; ".join(f"{name}={value}" for name, value in tablet.client.cookies.items())

    async def receive() -> Message:
        await gone.wait()
        return {"type": "http.disconnect"}

    async def send(message: Message) -> None:
        await heard.messages.put(message)

    scope = {
        "type": "http",
        "asgi": {"version": "3.0", "spec_version": "2.3"},
        "http_version": "1.1",
        "method": "GET",
        "scheme": "http",
        "path": f"{rig.home}/live",
        "query_string": asked.encode(),
        "headers": [
            (b"host", b"127.0.0.1:8000"),
            (b"cookie", cookies.encode()),
            (b"accept-encoding", b"gzip"),
        ],
    }
    serving = asyncio.create_task(tablet.application(scope, receive, send))
    yield heard
    gone.set()
    async with asyncio.timeout(20):
        await serving


async def note(rig: Rig, step: int) -> None:
    """Let the driller remark on a step."""
    await act(rig.site, rig.run_id, AddNote(step, "bent"), rig.crew["driller"], new_key())


@pytest.fixture
def other(rig: Rig) -> Iterator[Tablet]:
    """Return another tablet on the same site, the driller signed in."""
    application = create_application(rig.site, settings_of(rig.site.data))
    tablet = Tablet(application, rig.crew)
    tablet.sign_in("driller")
    yield tablet
    tablet.close()


@pytest.fixture
def program(rig: Rig) -> Iterator[Program]:
    """Return another program, signed in as the supervisor."""
    made = Program(rig)
    made.sign_in("supervisor")
    yield made
    made.close()
