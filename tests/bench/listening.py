"""How long it takes until fifty open pages hear of a tick, beside what the tick itself takes."""

import json
import selectors
import shutil
import socket
import time
from collections.abc import Iterator
from contextlib import ExitStack, closing
from dataclasses import dataclass, field
from pathlib import Path
from statistics import median

from app.services.listeners import MOST_LISTENERS
from tests.bench.client import Client, signed_in
from tests.bench.measures import Measure, share
from tests.bench.processes import twinleg
from tests.bench.site import MeasuredSite, Ticks

MOST_HEARD_MS = 300.0
SECONDS_TO_HEAR = 20.0


def ticks_heard_by_many(site: MeasuredSite, folder: Path) -> Iterator[Measure]:
    """Yield a tick alone and with fifty listeners, and when the last of them has heard of it."""
    alone, listened, heard = site.runs[0], site.runs[1], []
    with ExitStack() as stack:
        data = Path(shutil.copytree(site.data, folder / "listening"))
        server = stack.enter_context(twinleg("demo", data))
        token = signed_in(server.port, site.person_id, site.pin)
        ticking = stack.enter_context(closing(Client(server.port, token)))
        bare = [ticking.tick(alone.run_id, step) for step in alone.steps]
        crowd = stack.enter_context(closing(_Crowd(server.port, token, listened)))
        ticks = []
        for step in listened.steps:
            begun = time.perf_counter()
            ticks.append(ticking.tick(listened.run_id, step))
            heard.append(crowd.last_heard() - begun)
    name = f"a tick reaches {MOST_LISTENERS} listeners, the last of them"
    yield Measure("tick that nobody listens to, median", median(bare) * 1000, "ms")
    yield Measure(f"tick that {MOST_LISTENERS} listen to, median", median(ticks) * 1000, "ms")
    yield Measure(f"{name}: median as a multiple of a bare tick", median(heard) / median(bare), "x")
    yield Measure(f"{name}: 95 of 100 as a multiple of it", share(heard, 95) / median(bare), "x")
    yield Measure(f"{name}: 95 of 100 within", share(heard, 95) * 1000, "ms", MOST_HEARD_MS)


@dataclass(slots=True)
class _Ear:
    """One listener: what came of its stream, and the newest sequence in that."""

    stream: socket.socket
    text: bytes = b""
    heard: int = 0

    def take(self) -> None:
        """Take what has come."""
        came = self.stream.recv(65536)
        assert came, "the server let a listener go"
        *lines, self.text = (self.text + came).split(b"\n")
        for line in lines:
            if line.startswith(b"data: "):
                self.heard = int(json.loads(line.removeprefix(b"data: "))["sequence"])


@dataclass(slots=True)
class _Crowd:
    """Holds the streams of fifty open pages of one run; all are read in one thread."""

    port: int
    token: str
    run: Ticks
    ears: list[_Ear] = field(default_factory=list)
    selector: selectors.BaseSelector = field(default_factory=selectors.DefaultSelector)
    newest: int = 1

    def __post_init__(self) -> None:
        for _ in range(MOST_LISTENERS):
            ear = _Ear(socket.create_connection(("127.0.0.1", self.port)))
            asked = (
                f"GET /runs/{self.run.run_id}/live?seen={self.newest} HTTP/1.1\r\n"
                f"Host: 127.0.0.1:{self.port}\r\nCookie: twinleg={self.token}\r\n\r\n"
            )
            ear.stream.sendall(asked.encode())
            self.selector.register(ear.stream, selectors.EVENT_READ, ear)
            self.ears.append(ear)
        self._hear(self.newest)

    def last_heard(self) -> float:
        """Return when the last of them has heard of the next event."""
        self.newest += 1
        self._hear(self.newest)
        return time.perf_counter()

    def close(self) -> None:
        """Let everybody go."""
        self.selector.close()
        for ear in self.ears:
            ear.stream.close()

    def _hear(self, sequence: int) -> None:
        give_up_at = time.perf_counter() + SECONDS_TO_HEAR
        while any(ear.heard < sequence for ear in self.ears):
            assert time.perf_counter() < give_up_at, "somebody did not hear of it"
            for key, _ in self.selector.select(SECONDS_TO_HEAR):
                key.data.take()
