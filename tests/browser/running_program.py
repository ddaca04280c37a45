"""The real program as a process of its own, on a data folder and a port that nobody else has."""

import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
SECONDS_TO_START = 30.0  # the first start on a cold disk; a warm one takes under two seconds
SECONDS_BETWEEN_LOOKS = 0.05


class ProgramDidNotStartError(AssertionError):
    """The program ended, or did not answer in time; its own words are in the message."""


@dataclass(frozen=True, slots=True)
class RunningProgram:
    """A server that answers: its address, its data folder, and the process to stop or pause."""

    address: str
    data: Path
    process: subprocess.Popen[bytes]


@contextmanager
def running_program(data: Path, port: int = 0, *, host: str = "127.0.0.1") -> Iterator[RunningProgram]:
    """Start the program on the data folder, wait for its answer, and kill it at the end.

    Without a port it gets one that nobody else has; it listens on this machine only unless a host is given.

    Raises: ProgramDidNotStartError.
    """
    port = port or free_port()
    words = data.parent / f"{data.name}-{port}.log"
    command = [sys.executable, "-m", "app", "serve", "--data", str(data), "--host", host, "--port", str(port)]
    with words.open("wb") as log, subprocess.Popen(command, cwd=ROOT, stdout=log, stderr=log) as process:
        program = RunningProgram(f"http://127.0.0.1:{port}", data, process)
        try:
            _wait_for_an_answer(program, words)
            yield program
        finally:
            process.kill()


def free_port() -> int:
    """Return a port of this machine that nothing listens on."""
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        port: int = listener.getsockname()[1]
        return port


def _wait_for_an_answer(program: RunningProgram, words: Path) -> None:
    give_up_at = time.monotonic() + SECONDS_TO_START
    while not _answers(program.address):
        if program.process.poll() is not None or time.monotonic() > give_up_at:
            raise ProgramDidNotStartError(words.read_text(encoding="utf-8", errors="replace"))
        time.sleep(SECONDS_BETWEEN_LOOKS)


def _answers(address: str) -> bool:
    try:
        with _OPENER.open(address, timeout=SECONDS_TO_START):
            return True
    except urllib.error.HTTPError as refusal:
        # A refusal, such as "sign in first", is an answer too.
        refusal.close()
        return True
    except OSError:
        return False


# A proxy that the machine may be set to use has no part in a talk with ourselves.
_OPENER = urllib.request.build_opener(urllib.request.ProxyHandler({}))
