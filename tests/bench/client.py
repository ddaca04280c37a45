"""A client that keeps its connection and times what it asks."""

import http.client
import json
import time
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from app.services.runs import new_key

NOTHING: Mapping[str, str] = {}


@dataclass(frozen=True, slots=True)
class Answered:
    """An answer and the seconds until all of it was there."""

    status: int
    body: bytes
    seconds: float


class Client:
    """Holds one connection to a server on this machine."""

    def __init__(self, port: int, token: str = "") -> None:
        self._connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        self.headers = {"Content-Type": "application/json"}
        if token:
            self.headers["Authorization"] = f"Bearer {token}"

    def ask(
        self, method: str, path: str, body: bytes = b"", headers: Mapping[str, str] = NOTHING
    ) -> Answered:
        """Return the answer to a request."""
        sent = {**self.headers, **headers}
        begun = time.perf_counter()
        self._connection.request(method, path, body, sent)
        answer = self._connection.getresponse()
        told = answer.read()
        return Answered(answer.status, told, time.perf_counter() - begun)

    def tick(self, run_id: str, step: int) -> float:
        """Return the seconds until a step was durably ticked and said so."""
        key = {"Idempotency-Key": new_key()}
        answer = self.ask("POST", f"/api/runs/{run_id}/steps/{step}/finish", b"{}", key)
        assert answer.status == 200, answer.body
        return answer.seconds

    def close(self) -> None:
        """End the connection."""
        self._connection.close()


def signed_in(port: int, person_id: str, pin: str) -> str:
    """Return the token of a person."""
    client = Client(port)
    body = json.dumps({"person": person_id, "pin": pin}).encode()
    told: Any = json.loads(client.ask("POST", "/api/sign-in", body).body)
    client.close()
    token: str = told["token"]
    return token
