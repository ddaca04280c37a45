"""Runs: what a command does to one, and how one is read back from its log."""

import gc
import hashlib
import json
import secrets
import sqlite3
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from app.domain.apply import fold
from app.domain.commands import Command
from app.domain.decide import decide
from app.domain.events.event import BRINGS_A_SHEET, Event, Happened, Work
from app.domain.events.release import PlanReleased
from app.domain.events.rewriting import Replanned
from app.domain.events.who import Who
from app.domain.plan import Plan
from app.domain.refusals import NobodyError, RefusedError
from app.domain.run import Run, new_run
from app.domain.sheet import Sheet
from app.records.chain import Entry
from app.records.event_json import kind_of, read_entry
from app.records.plan_toml import read_plan
from app.records.sheet_json import read_sheet
from app.services.recording import record_events
from app.services.seen import check_seen
from app.services.site import Site
from app.store import answers, event_log, photos, summaries
from app.store.answers import KeptAnswer
from app.store.summaries import RunSummary

Supposing = Callable[[Run], None]

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


def anything(_run: Run) -> None:
    """Suppose nothing of a run."""


def new_key() -> str:
    """Return a fresh idempotency key for one form."""
    return secrets.token_urlsafe(18)


async def act(
    site: Site,
    run_id: str,
    command: Command,
    who: Who | None,
    key: str,
    *,
    seen: int | None = None,
    supposing: Supposing = anything,
) -> Acted:
    """Decide on a command and record what it leads to, once for each key.

    `seen` is the last event that the page of the act showed; without it nobody minds what came after.
    `supposing` raises where the run, as it is when the command is decided on, is not as it was shown.

    Raises: StaleError where others have overtaken the act; RefusedError of the kind that fits;
    KeyReusedError where the key came with another command; NotRecordedError where the disk did not take it.
    """
    if who is None:
        raise NobodyError
    body_hash = hashlib.sha256(repr(command).encode()).hexdigest()
    intent = Intent(run_id, who, checked_key(key), type(command).__name__, body_hash)
    run_of(site, run_id)  # an unknown run is refused before it troubles the writer

    def decided(connection: sqlite3.Connection) -> Recorded:
        run = as_logged(site, connection, run_id)
        check_seen(connection, run, command, seen)
        supposing(run)
        events = decide(run, command, now=site.clock(), who=who)
        return recorded(record_events(site, connection, run, events, who), events)

    return await once(site, intent, decided)


def run_of(site: Site, run_id: str) -> Run:
    """Return a run as its log has made it.

    Raises: UnknownRunError; UnreadableEventError where a newer program wrote the log.
    """
    run = site.runs.get(run_id)
    if run is None:
        with site.database.reader() as session:
            entries = event_log.read_log(session, run_id)
        run = _folded(site, run_id, entries)
        # Plan and sheet stay as long as the server does: walking their hundred thousand values in search of
        # garbage would hold up a tap for a quarter of a second now and then.
        gc.freeze()
        # Only the writer moves a run on; what it has put there in the meantime is newer.
        run = site.runs.setdefault(run_id, run)
    return run


def all_runs(site: Site) -> list[RunSummary]:
    """Return the summaries of all runs, by well, title and id."""
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

    @property
    def what(self) -> str:
        """Return what is done to which run."""
        return f"{self.act} {self.run_id}"


@dataclass(frozen=True, slots=True)
class Recorded:
    """What an intent came to, and the run after it where it changed one just now."""

    acted: Acted
    run: Run | None


async def once(site: Site, intent: Intent, do: Callable[[sqlite3.Connection], Recorded]) -> Acted:
    """Return the answer to an intent: the kept one where it was answered before, else a new one, kept.

    Raises: KeyReusedError where the key came with another intent; NotRecordedError; what `do` raises.
    """

    def work(connection: sqlite3.Connection) -> Recorded:
        kept = answers.recall(connection, intent.key, intent.who.person_id, intent.what, intent.body_hash)
        if kept is not None:
            told = json.loads(kept.answer)
            return Recorded(Acted(told["run"], told["sequence"], tuple(told["kinds"]), repeated=True), None)
        done = do(connection)
        answers.keep(connection, _answer(intent, done.acted, site.now_text()))
        return done

    def committed(done: Recorded) -> None:
        # Not earlier: nobody may see a run that a failed commit takes back.
        if done.run is not None:
            site.publish(done.run)

    return (await site.database.writer.write(work, committed)).acted


def recorded(run: Run, events: tuple[Event, ...]) -> Recorded:
    """Return what the events just recorded came to."""
    return Recorded(Acted(run.id, run.sequence, tuple(kind_of(event).name for event in events)), run)


def checked_key(key: str) -> str:
    """Return a key that may be used.

    Raises: KeyMissingError where it is missing, too short or too long.
    """
    if not SHORTEST_KEY <= len(key) <= LONGEST_KEY:
        raise KeyMissingError
    return key


def as_logged(site: Site, connection: sqlite3.Connection, run_id: str) -> Run:
    """Return the run as the writer's log has it: from memory, unless that is ahead of the log or behind."""
    logged = event_log.sequence_seen_by_writer(connection, run_id)
    for run in (site.drafts.get(run_id), site.runs.get(run_id)):
        if run is not None and run.sequence == logged:
            return run
    # A commit failed, or another process wrote.
    return _folded(site, run_id, event_log.entries_seen_by_writer(connection, run_id))


def _answer(intent: Intent, acted: Acted, at: str) -> KeptAnswer:
    told = json.dumps({"run": acted.run_id, "sequence": acted.sequence, "kinds": acted.kinds})
    return KeptAnswer(intent.key, intent.who.person_id, intent.what, intent.body_hash, 200, told, at)


def _folded(site: Site, run_id: str, entries: list[Entry]) -> Run:
    if not entries:
        raise UnknownRunError(run_id)
    happened = [read_entry(entry) for entry in entries]
    first = happened[0].event
    assert isinstance(first, PlanReleased), "a run's log begins with its release"
    begun = Work(_plan(site, first.plan_content), _sheet(site, first.sheet_content))
    return fold(new_run(run_id, begun.plan, begun.sheet), _with_work(site, happened, begun))


def _with_work(site: Site, log: Iterable[Happened], work: Work) -> Iterator[Happened]:
    """Yield what happened, each rewriting of the sheet with the plan and sheet that it names."""
    for happened in log:
        event = happened.event
        if isinstance(event, Replanned):
            work = replace(work, plan=_plan(site, event.plan_content))
        if isinstance(event, BRINGS_A_SHEET):
            work = replace(work, sheet=_sheet(site, event.sheet_content))
            yield replace(happened, work=work)
        else:
            yield happened


def _plan(site: Site, content: str) -> Plan:
    plan, _ = read_plan(content_of(site, content).decode())
    assert plan is not None, "a plan that was signed for was readable"
    return plan


def _sheet(site: Site, content: str) -> Sheet:
    sheet, _ = read_sheet(content_of(site, content))
    assert sheet is not None, "a sheet that was signed for was readable"
    return sheet


def content_of(site: Site, content_hash: str) -> bytes:
    """Return the bytes kept under a hash that an event names."""
    with site.database.reader() as session:
        kept = photos.find_photo(session, content_hash)
    assert kept is not None, "what an event names was kept in the same transaction"
    return kept.content
