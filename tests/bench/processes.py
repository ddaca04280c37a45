"""Servers as processes of their own, started, awaited and stopped."""

import http.client
import os
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.browser.running_program import free_port

ROOT = Path(__file__).parents[2]
SECONDS_TO_START = 60.0
SECONDS_BETWEEN_LOOKS = 0.005
NOTHING: Mapping[str, str] = {}


@dataclass(frozen=True, slots=True)
class Server:
    """A server that answers: its port, and the seconds from its start to its first page."""

    port: int
    ready_s: float


@contextmanager
def twinleg(command: str, data: Path, environment: Mapping[str, str] = NOTHING) -> Iterator[Server]:
    """Give the program serving a data folder, and stop it at the end."""
    port = free_port()
    arguments = ["-m", "app", command, "--data", str(data), "--port", str(port)]
    with _running(arguments, port, "/sign-in", environment) as server:
        yield server


@contextmanager
def empty_server() -> Iterator[Server]:
    """Give a server of the same framework, under the same settings, that does nothing."""
    port = free_port()
    with _running(["-m", "tests.bench.empty_server", str(port)], port, "/empty", NOTHING) as server:
        yield server


@contextmanager
def _running(
    arguments: list[str], port: int, first_page: str, environment: Mapping[str, str]
) -> Iterator[Server]:
    begun = time.perf_counter()
    with subprocess.Popen(
        [sys.executable, *arguments], cwd=ROOT, env=os.environ | environment, stdout=subprocess.DEVNULL
    ) as process:
        try:
            _wait_for(process, port, first_page)
            yield Server(port, time.perf_counter() - begun)
        finally:
            process.terminate()


def _wait_for(process: subprocess.Popen[bytes], port: int, path: str) -> None:
    give_up_at = time.monotonic() + SECONDS_TO_START
    while time.monotonic() < give_up_at and process.poll() is None:
        try:
            with closing(http.client.HTTPConnection("127.0.0.1", port, timeout=SECONDS_TO_START)) as asking:
                asking.request("GET", path)
                answer = asking.getresponse()
                answer.read()
        except OSError:
            time.sleep(SECONDS_BETWEEN_LOOKS)
            continue
        assert answer.status < 400, f"{path} is answered with {answer.status}"
        return
    raise AssertionError(f"the server did not answer; exit code {process.poll()}")
