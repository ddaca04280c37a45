"""The chained log: every entry carries the hash of the one before it."""

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass

from app.domain.problems import Problem, stop
from app.records.canonical import quick_canonical_bytes

GENESIS = "0" * 64


@dataclass(frozen=True, slots=True)
class Entry:
    """One event as it is kept: who, when and what, tied to the entry before it.

    `body` is the canonical JSON text of the event, `at` an ISO 8601 time with offset,
    `by` the person's id; `previous` and `hash` are SHA-256 as hex.
    """

    run_id: str
    sequence: int
    kind: str
    version: int
    at: str
    by: str
    body: str
    previous: str
    hash: str


def link(
    previous: str, *, run_id: str, sequence: int, kind: str, version: int, at: str, by: str, body: str
) -> Entry:
    """Return the entry that follows the one whose hash is `previous`."""
    digest = _digest(previous, run_id, sequence, kind, version, at, by, body)
    return Entry(run_id, sequence, kind, version, at, by, body, previous, digest)


def broken_links(entries: Iterable[Entry]) -> list[Problem]:
    """Return a problem for each entry of one run that was altered, moved, or left out."""
    problems: list[Problem] = []
    previous = GENESIS
    for expected, entry in enumerate(entries, start=1):
        where = f"event {entry.sequence}"
        if entry.sequence != expected:
            problems.append(stop("chain-order", where, f"Event {expected} is missing or out of place here."))
            break
        if entry.previous != previous:
            problems.append(
                stop("chain-link", where, "It does not follow the event before it: one was altered.")
            )
        if entry.hash != _digest_of(entry):
            problems.append(stop("chain-hash", where, "Its content does not match its hash: it was altered."))
        previous = entry.hash
    return problems


def _digest_of(entry: Entry) -> str:
    return _digest(
        entry.previous,
        entry.run_id,
        entry.sequence,
        entry.kind,
        entry.version,
        entry.at,
        entry.by,
        entry.body,
    )


def _digest(*fields: str | int) -> str:
    # A JSON list keeps the fields apart: no two different entries share a byte form.
    return hashlib.sha256(quick_canonical_bytes(list(fields))).hexdigest()
