"""What a tick costs: beside its floor, and with many clients on a disk that syncs slowly."""

import shutil
import sqlite3
import time
from collections.abc import Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from statistics import median
from threading import Barrier

from app.store.connections import writing_connection
from tests.bench.client import Client, signed_in
from tests.bench.measures import Measure, say, share
from tests.bench.processes import empty_server, twinleg
from tests.bench.site import MeasuredSite, Ticks
from tests.bench.slow_sync import slow_sync

CLIENTS = 16
SYNC_MS = 5
MOST_FLOORS = 2.0
MOST_P99_MS = 60.0
LEAST_GAIN = 5.0


@dataclass(frozen=True, slots=True)
class Floor:
    """What a tick is held against, and the client that ticks; each call returns seconds."""

    bare: sqlite3.Connection
    asking: Client
    ticking: Client

    def commit(self) -> float:
        """Return how long a durable commit of one row takes."""
        begun = time.perf_counter()
        self.bare.execute("BEGIN IMMEDIATE")
        self.bare.execute("INSERT INTO bare (body) VALUES (?)", ("x" * 200,))
        self.bare.execute("COMMIT")
        return time.perf_counter() - begun

    def request(self) -> float:
        """Return how long a request takes that does nothing."""
        return self.asking.ask("POST", "/empty", b"{}").seconds


@dataclass(frozen=True, slots=True)
class Times:
    """Seconds of commits, requests and ticks, as many of each."""

    commits: list[float] = field(default_factory=list)
    requests: list[float] = field(default_factory=list)
    ticks: list[float] = field(default_factory=list)

    @property
    def floors(self) -> float:
        """Return the tick as a multiple of a bare commit and an empty request together."""
        return median(self.ticks) / (median(self.commits) + median(self.requests))


def tick_beside_its_floor(site: MeasuredSite, folder: Path) -> Iterator[Measure]:
    """Yield a bare commit, an empty request, a tick, and the tick as a multiple of the two together."""
    turns, loops = Times(), Times()
    with (
        closing(_bare_database(folder / "bare.db")) as bare,
        empty_server() as empty,
        twinleg("demo", _copy(site, folder / "floor")) as server,
        closing(Client(empty.port)) as asking,
        closing(Client(server.port, signed_in(server.port, site.person_id, site.pin))) as ticking,
    ):
        floor = Floor(bare, asking, ticking)
        for number, run in enumerate(site.runs):
            _bring_into_memory(ticking, run)
            if number % 2:
                _take_in_loops(floor, run, loops)
            else:
                _take_in_turns(floor, run, turns)
    name = "tick as a multiple of bare commit and empty request"
    yield Measure("bare durable commit, median", median(turns.commits) * 1000, "ms")
    yield Measure("empty request of the same framework, median", median(turns.requests) * 1000, "ms")
    yield Measure("tick on the server over loopback, median", median(turns.ticks) * 1000, "ms")
    yield Measure(name, turns.floors, "x", MOST_FLOORS)
    yield Measure("the same, each of the three in a loop of its own", loops.floors, "x")


def _take_in_turns(floor: Floor, run: Ticks, times: Times) -> None:
    # The commit of a tick always comes after a pause, and a pause costs: so must the one it is held against.
    for step in run.steps:
        times.commits.append(floor.commit())
        times.requests.append(floor.request())
        times.ticks.append(floor.ticking.tick(run.run_id, step))


def _take_in_loops(floor: Floor, run: Ticks, times: Times) -> None:
    times.commits.extend(floor.commit() for _ in run.steps)
    times.requests.extend(floor.request() for _ in run.steps)
    times.ticks.extend(floor.ticking.tick(run.run_id, step) for step in run.steps)


def ticks_of_many_on_a_slow_disk(site: MeasuredSite, folder: Path) -> Iterator[Measure]:
    """Yield times and rate of many clients that tick at once, beside one client alone."""
    slowly = slow_sync(folder, SYNC_MS)
    if slowly is None:
        say("There is no C compiler (cc), so a slow disk is not measured.")
        return
    _, alone = _ticked(site, folder / "alone", slowly, clients=1)
    seconds, together = _ticked(site, folder / "together", slowly, clients=CLIENTS)
    name = f"{CLIENTS} clients, {SYNC_MS} ms a sync"
    yield Measure(f"one client, {SYNC_MS} ms a sync: ticks a second", alone, "1/s")
    yield Measure(f"{name}: ticks a second", together, "1/s")
    yield Measure(
        f"{name}: ticks a second beside one client", together / alone, "x", LEAST_GAIN, at_least=True
    )
    yield Measure(f"{name}: half of the ticks within", share(seconds, 50) * 1000, "ms")
    yield Measure(f"{name}: 99 of 100 ticks within", share(seconds, 99) * 1000, "ms", MOST_P99_MS)


def _ticked(
    site: MeasuredSite, data: Path, environment: Mapping[str, str], *, clients: int
) -> tuple[list[float], float]:
    """Return the seconds of each tick, and how many there were a second."""
    with twinleg("demo", _copy(site, data), environment) as server:
        token = signed_in(server.port, site.person_id, site.pin)
        start = Barrier(clients + 1)

        def tick_a_run(run: Ticks) -> list[float]:
            with closing(Client(server.port, token)) as client:
                _bring_into_memory(client, run)
                start.wait()
                return [client.tick(run.run_id, step) for step in run.steps]

        with ThreadPoolExecutor(clients) as crew:
            working = [crew.submit(tick_a_run, run) for run in site.runs[:clients]]
            start.wait()
            begun = time.perf_counter()
            seconds = [each for work in working for each in work.result()]
            return seconds, len(seconds) / (time.perf_counter() - begun)


def _bring_into_memory(client: Client, run: Ticks) -> None:
    answer = client.ask("GET", f"/api/runs/{run.run_id}")
    assert answer.status == 200, answer.body


def _bare_database(path: Path) -> sqlite3.Connection:
    path.touch()
    connection = writing_connection(path)
    connection.execute("CREATE TABLE bare (id INTEGER PRIMARY KEY, body TEXT)")
    return connection


def _copy(site: MeasuredSite, to: Path) -> Path:
    return Path(shutil.copytree(site.data, to))
