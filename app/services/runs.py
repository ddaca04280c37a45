"""Runs: what a command does to one, and how one is read back from its log."""

import hashlib
import json
import secrets
import sqlite3
from collections.abc import Callable
from dataclasses import dataclass

from app.domain.apply import apply, fold
from app.domain.commands import Command
from app.domain.decide import decide
from app.domain.events import Event, Happened, PlanReleased, Who
from app.domain.refusals import NobodyError, RefusedError
from app.domain.run import Run, new_run
from app.records.chain import Entry
from app.records.event_json import body_of, kind_of, read_entry
from app.records.plan_toml import read_plan
from app.records.sheet_json import read_sheet
from app.services.site import Site
from app.store import answers, event_log, photos, summaries
from app.store.answers import KeptAnswer
from app.store.event_log import EventDraft, SequenceClashError
from app.store.summaries import RunSummary

SHORTEST_KEY = 16
LONGEST_KEY = 200


class KeyMissingError(RefusedError):
    """A form or request came without its key."""

    rule = "key-missing"

    def __init__(self) -> None:
        super().__init__(
            f"This form came without its key, so it could be recorded twice. Load the page again and send it "
            f"from there; a program sends its own Idempotency-Key of {SHORTEST_KEY} to {LONGEST_KEY} letters."
        )


class UnknownRunError(RefusedError):
    """There is no such run."""

    rule = "unknown-run"

    def __init__(self, run_id: str) -> None:
        super().__init__(f"There is no run '{run_id}' here. Choose one from the list of runs.")


@dataclass(frozen=True, slots=True)
class Acted:
    """What a command came to: the run's sequence after it, the kinds of its events, and whether it was
    answered before under the same key."""

    run_id: str
    sequence: int
    kinds: tuple[str, ...]
    repeated: bool = False


def new_key() -> str:
    """Return a fresh idempotency key for one form."""
    return secrets.token_urlsafe(18)


async def act(site: Site, run_id: str, command: Command, who: Who | None, key: str) -> Acted:
    """Decide on a command and record what it leads to, once for each key.

    Raises: RefusedError of the kind that fits; KeyReusedError where the key came with another command;
    NotRecordedError where the disk did not take it.
    """
    if who is None:
        raise NobodyError
    body_hash = hashlib.sha256(repr(command).encode()).hexdigest()
    intent = Intent(run_id, who, checked_key(key), type(command).__name__, body_hash)
    run_of(site, run_id)  # unknown runs are refused, known ones are in memory from here on

    def work(connection: sqlite3.Connection) -> Acted:
        return once(connection, intent, site, lambda: _decided(site, connection, intent, command))

    return await site.database.writer.write(work)


def run_of(site: Site, run_id: str) -> Run:
    """Return a run as its log has made it.

    Raises: UnknownRunError; UnreadableEventError where a newer program wrote the log.
    """
    run = site.runs.get(run_id)
    if run is None:
        with site.database.reader() as session:
            entries = event_log.read_log(session, run_id)
        run = _folded(site, run_id, entries)
        # Only the writer moves a run on; what it has put there in the meantime is newer.
        run = site.runs.setdefault(run_id, run)
    return run


def all_runs(site: Site) -> list[RunSummary]:
    """Return the summaries of all runs, newest first."""
    with site.database.reader() as session:
        return summaries.list_summaries(session)


def log_of(site: Site, run_id: str, after: int = 0) -> list[Entry]:
    """Return the entries of a run's log after a sequence.

    Raises: UnknownRunError.
    """
    with site.database.reader() as session:
        entries = event_log.read_log(session, run_id, after)
    if not entries and after == 0:
        raise UnknownRunError(run_id)
    return entries


@dataclass(frozen=True, slots=True)
class Intent:
    """One intent of one person: on which run, under which key, and the hash of what was asked."""

    run_id: str
    who: Who
    key: str
    act: str
    body_hash: str


def once(connection: sqlite3.Connection, intent: Intent, site: Site, do: Callable[[], Acted]) -> Acted:
    """Return the answer to an intent: the kept one where it was answered before, else a new one, kept.

    Raises: KeyReusedError where the key came with another intent.
    """
    what = f"{intent.act} {intent.run_id}"
    kept = answers.recall(connection, intent.key, intent.who.person_id, what, intent.body_hash)
    if kept is not None:
        told = json.loads(kept.answer)
        return Acted(told["run"], told["sequence"], tuple(told["kinds"]), repeated=True)
    acted = do()
    told = json.dumps({"run": acted.run_id, "sequence": acted.sequence, "kinds": acted.kinds})
    answers.keep(
        connection,
        KeptAnswer(intent.key, intent.who.person_id, what, intent.body_hash, 200, told, site.now_text()),
    )
    return acted


def record_events(
    site: Site, connection: sqlite3.Connection, run: Run, events: tuple[Event, ...], who: Who
) -> Run:
    """Add events to a run's log and return the run after them; the caller is the writer.

    Raises: SequenceClashError where the log has moved on.
    """
    now = site.clock()
    drafts = []
    for event in events:
        kind = kind_of(event)
        drafts.append(
            EventDraft(kind.name, kind.version, now.isoformat(), who.person_id, body_of(event, who))
        )
    entries = event_log.append(connection, run.id, run.sequence, drafts)
    for entry, event in zip(entries, events, strict=True):
        run = apply(run, Happened(entry.sequence, now, who, event))
    summaries.put_summary(connection, _summary(run, now.isoformat()))
    site.runs[run.id] = run
    return run


def checked_key(key: str) -> str:
    """Return a key that may be used.

    Raises: KeyMissingError where it is missing, too short or too long.
    """
    if not SHORTEST_KEY <= len(key) <= LONGEST_KEY:
        raise KeyMissingError
    return key


def _decided(site: Site, connection: sqlite3.Connection, intent: Intent, command: Command) -> Acted:
    try:
        run = _recorded(site, connection, intent, command)
    except SequenceClashError:
        # A failed commit or another process: what is in memory is not what is in the log.
        entries = event_log.entries_seen_by_writer(connection, intent.run_id)
        site.runs[intent.run_id] = _folded(site, intent.run_id, entries)
        run = _recorded(site, connection, intent, command)
    return run


def _recorded(site: Site, connection: sqlite3.Connection, intent: Intent, command: Command) -> Acted:
    run = site.runs[intent.run_id]
    events = decide(run, command, now=site.clock(), who=intent.who)
    run = record_events(site, connection, run, events, intent.who)
    return Acted(run.id, run.sequence, tuple(kind_of(event).name for event in events))


def _folded(site: Site, run_id: str, entries: list[Entry]) -> Run:
    if not entries:
        raise UnknownRunError(run_id)
    happened = [read_entry(entry) for entry in entries]
    first = happened[0].event
    assert isinstance(first, PlanReleased), "a run's log begins with its release"
    plan, _ = read_plan(content_of(site, first.plan_content).decode())
    sheet, _ = read_sheet(content_of(site, first.sheet_content))
    assert plan is not None, "a released plan was readable"
    assert sheet is not None, "a released sheet was readable"
    return fold(new_run(run_id, plan, sheet), happened)


def content_of(site: Site, content_hash: str) -> bytes:
    """Return the bytes kept under a hash that an event names."""
    with site.database.reader() as session:
        kept = photos.find_photo(session, content_hash)
    assert kept is not None, "what an event names was kept in the same transaction"
    return kept.content


def _summary(run: Run, at: str) -> RunSummary:
    release = run.release
    state = "closed" if run.is_closed else "practice" if run.is_practice else "running"
    return RunSummary(
        run_id=run.id,
        title=release.title if release else "",
        well=release.well if release else "",
        state=state,
        done=len(run.done),
        total=len(run.sheet.steps),
        last_sequence=run.sequence,
        updated_at=at,
    )
