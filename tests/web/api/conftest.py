"""A program that speaks to a site in JSON, and what every refusal must look like."""

import asyncio
from collections.abc import Callable, Iterator, Mapping
from typing import Any

import pytest
from httpx import ASGITransport, AsyncClient, Response

from app.records.chain import Entry
from app.services.runs import log_of, new_key
from app.web.application import create_application
from tests import runner
from tests.web.conftest import ADDRESS, Rig, settings_of

NOWHERE: Mapping[str, object] = {}
PROBLEM = "application/problem+json"


class Program:
    """Another program that speaks to a site in JSON, signed in as one person or as nobody."""

    def __init__(self, rig: Rig) -> None:
        self.rig = rig
        self.token = ""
        self.used: set[tuple[str, str]] = set()
        self._loop = asyncio.Runner()
        application = create_application(rig.site, settings_of(rig.site.data))
        self.client = AsyncClient(transport=ASGITransport(application), base_url=ADDRESS)

    def close(self) -> None:
        """End the program."""
        self._loop.run(self.client.aclose())
        self._loop.close()

    def sign_in(self, role: str) -> None:
        """Sign in as the person of a role."""
        person = self.rig.crew[role]
        body = {"person": person.person_id, "pin": runner.PINS[person.name]}
        answer = self.post("/api/sign-in", body, key="")
        assert answer.status_code == 200, answer.text
        self.token = answer.json()["token"]

    def get(self, path: str, at: Mapping[str, object] = NOWHERE) -> Response:
        """Ask at an address; its `{names}` are filled in."""
        return self._send("get", path, at, {})

    def post(
        self,
        path: str,
        json: object = None,
        at: Mapping[str, object] = NOWHERE,
        *,
        key: str | None = None,
        content: bytes = b"",
        seen: str | None = None,
    ) -> Response:
        """Send a body with a fresh key, or with one that is given; an empty key is left out."""
        key = new_key() if key is None else key
        body = {"json": json} if not content else {"content": content}
        headers = {"Idempotency-Key": key} if key else {}
        if seen is not None:
            headers["Sequence-Seen"] = seen
        return self._send("post", path, at, headers, **body)

    def finish(self, number: int, *, key: str | None = None, **typed: Any) -> Response:
        """Tick a step of the rig's run with good readings, and what is typed over the first of them."""
        run = self.rig.run
        readings = [
            {"name": entered.name, "value": entered.value, "unit": entered.unit, "tool": entered.tool}
            for entered in runner.good_readings(run, run.sheet.steps[number - 1])
        ]
        if typed:
            readings[0] |= typed
        at = {"run_id": self.rig.run_id, "number": number}
        return self.post("/api/runs/{run_id}/steps/{number}/finish", {"readings": readings}, at, key=key)

    def log(self) -> list[Entry]:
        """Return the log of the rig's run as it is kept."""
        return log_of(self.rig.site, self.rig.run_id)

    def _send(
        self, method: str, path: str, at: Mapping[str, object], headers: dict[str, str], **body: Any
    ) -> Response:
        if self.token:
            headers = headers | {"Authorization": f"Bearer {self.token}"}
        self.used.add((method, path.partition("?")[0]))
        return self._loop.run(self.client.request(method, path.format(**at), headers=headers, **body))


Starting = Callable[[str], Program]


@pytest.fixture
def start(rig: Rig) -> Iterator[Starting]:
    """Return a way to start a program, signed in as the person of a role, or as nobody."""
    started: list[Program] = []

    def start_one(role: str) -> Program:
        program = Program(rig)
        started.append(program)
        if role:
            program.sign_in(role)
        return program

    yield start_one
    for program in started:
        program.close()


@pytest.fixture
def program(start: Starting) -> Program:
    """Return a program that is signed in as the supervisor."""
    return start("supervisor")


@pytest.fixture
def nobody(start: Starting) -> Program:
    """Return a program that nobody is signed in on."""
    return start("")


def assert_problem(answer: Response, status: int, rule: str, words: str) -> dict[str, Any]:
    """Pass where an answer is a whole problem of a rule, and return it."""
    told: dict[str, Any] = answer.json()
    assert answer.headers["content-type"] == PROBLEM
    assert (answer.status_code, told["status"], told["rule"]) == (status, status, rule), told
    assert told["type"] == f"urn:twinleg:{rule}"
    assert told["title"]
    assert words in told["detail"]
    return told
