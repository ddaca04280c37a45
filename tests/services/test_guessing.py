"""Guesses at a PIN over the network, at a real server that is killed between them: ten are looked at."""

import http.client
import json
import os
import subprocess
import sys
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from app.domain.events.who import Who
from app.domain.people import PersonLocked
from app.services.people import person_of
from app.services.people_log import people_log
from app.services.site import Site
from app.services.tries import FREE_FAILURES, MOST_FAILURES
from tests.browser.running_program import free_port
from tests.runner import PINS
from tests.services.conftest import Open

GUESSES = int(os.environ.get("TWINLEG_GUESSES", "300"))
# While tries are left, on the way to the lock, and once more behind it.
OFTEN = frozenset({4, 8, GUESSES // 2})
ONCE = frozenset({FREE_FAILURES + 1})
SECONDS_TO_START = 120.0
REAL = ("-m", "app", "serve", "--data", "{data}", "--port", "{port}")
PATIENT = ("-m", "tests.services.patient_server", "{data}", "{port}")


@dataclass(slots=True)
class Guesser:
    """Guards a server and one connection to it; the server is killed while guesses of these numbers are
    on their way, and started again."""

    data: Path
    command: tuple[str, ...]
    killed_at: frozenset[int]
    process: "subprocess.Popen[bytes]" = field(init=False)
    connection: http.client.HTTPConnection = field(init=False)

    def start(self) -> None:
        """Start the server and wait for its answer."""
        port = free_port()
        arguments = [part.format(data=self.data, port=port) for part in self.command]
        self.process = subprocess.Popen([sys.executable, *arguments], stdout=subprocess.DEVNULL)
        self.connection = http.client.HTTPConnection("127.0.0.1", port, timeout=SECONDS_TO_START)
        give_up_at = time.monotonic() + SECONDS_TO_START
        while True:
            try:
                self.connection.connect()
            except ConnectionRefusedError:
                assert self.process.poll() is None, "the server ended"
                assert time.monotonic() < give_up_at, "the server does not answer"
                time.sleep(0.05)
            else:
                return

    def kill(self) -> None:
        """End the server with SIGKILL."""
        self.process.kill()
        self.process.wait()
        self.connection.close()

    def send(self, person: Who, pin: str) -> None:
        """Send a guess and do not wait for what becomes of it."""
        body = json.dumps({"person": person.person_id, "pin": pin})
        self.connection.request("POST", "/api/sign-in", body, {"Content-Type": "application/json"})

    def guess(self, person: Who, pin: str) -> str:
        """Return what a guess was answered with."""
        self.send(person, pin)
        answer = self.connection.getresponse()
        text: str = json.loads(answer.read())["detail"]
        assert answer.status == 401, text
        return text


def kind_of(text: str) -> str:
    """Return whether the PIN was looked at, or refused before that."""
    for words, kind in (
        ("That is not the PIN", "looked at"),
        ("Wait ", "wait"),
        ("is locked after", "locked"),
    ):
        if words in text:
            return kind
    return text


def guesses(right: str) -> list[str]:
    """Return wrong PINs in order, the right one among them once the lock must have come."""
    wrong = (f"{number:06}" for number in range(GUESSES + 1))
    others = [pin for pin in wrong if pin != right][:GUESSES]
    return [*others[: GUESSES - 1], right]


def guess_all(guesser: Guesser, person: Who) -> Counter[str]:
    """Return how each guess ended while the server is killed now and then, once with a guess on its way."""
    told: Counter[str] = Counter()
    guesser.start()
    try:
        for number, pin in enumerate(guesses(PINS[person.name]), start=1):
            if number in guesser.killed_at:
                guesser.send(person, pin)
                guesser.kill()
                guesser.start()
                told["unanswered"] += 1
            else:
                told[kind_of(guesser.guess(person, pin))] += 1
    finally:
        guesser.kill()
    return told


def test_of_all_guesses_of_somebody_who_waits_ten_are_looked_at_however_often_the_server_is_killed(
    site: Site, crew: dict[str, Who], open_here: Open
) -> None:
    driller = crew["driller"]
    site.close()

    told = guess_all(Guesser(site.data, PATIENT, OFTEN), driller)

    assert told.total() == GUESSES
    assert set(told) == {"looked at", "locked", "unanswered"}
    # A guess whose answer was lost may have been looked at, or may not have arrived.
    assert MOST_FAILURES - told["unanswered"] <= told["looked at"] <= MOST_FAILURES
    again = open_here(site.data)
    kept = person_of(again, driller.person_id)
    assert (kept.failures, kept.locked) == (MOST_FAILURES, True)
    assert [entry.change for entry in people_log(again)].count(PersonLocked(driller, MOST_FAILURES)) == 1


def test_of_all_guesses_of_somebody_in_a_hurry_no_more_are_looked_at(
    site: Site, crew: dict[str, Who], open_here: Open
) -> None:
    driller = crew["driller"]
    site.close()

    told = guess_all(Guesser(site.data, REAL, ONCE), driller)

    assert told.total() == GUESSES
    assert FREE_FAILURES - told["unanswered"] <= told["looked at"] <= MOST_FAILURES
    assert set(told) <= {"looked at", "wait", "locked", "unanswered"}
    failures = person_of(open_here(site.data), driller.person_id).failures
    assert told["looked at"] <= failures <= MOST_FAILURES
