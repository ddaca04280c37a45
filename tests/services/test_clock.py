"""A clock that somebody sets is found out at the next record of each run, and stands in its log first."""

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from app.domain.apply import fold
from app.domain.commands import AddNote
from app.domain.events.clock import ClockJumped
from app.domain.events.remarks import NoteAdded
from app.domain.run import new_run
from app.records.chain import broken_links
from app.records.event_json import read_entry
from app.services.clock import steady_s
from app.services.recording import record_events
from app.services.runs import log_of
from app.services.site import open_site
from app.store.writer import NotRecordedError
from tests.services.camp import START, Job, crew_of, now
from tests.services.conftest import Folder
from tests.services.test_runs import break_a_key_at_commit

HOUR = timedelta(hours=1)


@dataclass(slots=True)
class Clocks:
    """Guards a clock on the wall and a steady one; time passes on both, and the one may be set."""

    wall: datetime = START + timedelta(days=1)
    steady: float = 50.0

    def pass_by(self, time: timedelta) -> None:
        self.wall += time
        self.steady += time.total_seconds()

    def put(self, by: timedelta) -> None:
        self.wall += by


@contextmanager
def served(data: Path, run_id: str, clocks: Clocks) -> Iterator[Job]:
    site = open_site(data, clock=lambda: clocks.wall, steady=lambda: clocks.steady)
    with closing(site):
        yield Job(site, run_id, crew_of(site))


@pytest.fixture
def data(released_folder: Folder, tmp_path: Path) -> tuple[Path, str]:
    kept, run_id = released_folder
    return shutil.copytree(kept, tmp_path / "site"), run_id


def jumps(job: Job) -> list[ClockJumped]:
    events = [read_entry(entry).event for entry in log_of(job.site, job.run_id)]
    return [event for event in events if isinstance(event, ClockJumped)]


def note(job: Job) -> tuple[str, ...]:
    return job.do(AddNote(0, "wind")).kinds


@pytest.mark.parametrize("by", [HOUR, -HOUR], ids=["forward", "back"])
def test_a_clock_that_is_set_stands_in_the_log_before_the_next_record(data: Folder, by: timedelta) -> None:
    clocks = Clocks()
    with served(*data, clocks) as job:
        note(job)
        clocks.pass_by(timedelta(minutes=3))
        clocks.put(by)

        told = note(job)

        (jump,) = jumps(job)
        kinds = [entry.kind for entry in log_of(job.site, job.run_id)]
        assert told == ("note-added",)
        assert kinds[-3:] == ["note-added", "clock-jumped", "note-added"]
        assert jump.by == by.total_seconds()
        assert datetime.fromisoformat(jump.after) == clocks.wall
        assert datetime.fromisoformat(jump.before) == clocks.wall - by


def test_the_log_with_a_jump_is_whole_and_gives_the_same_run(data: Folder) -> None:
    clocks = Clocks()
    with served(*data, clocks) as job:
        note(job)
        clocks.put(HOUR)
        note(job)

        log = log_of(job.site, job.run_id)

        assert broken_links(log) == []
        begun = new_run(job.run_id, job.run.plan, job.run.sheet)
        assert job.run == fold(begun, [read_entry(entry) for entry in log])


def test_a_jump_is_told_once_and_time_that_passes_is_none(data: Folder) -> None:
    clocks = Clocks()
    with served(*data, clocks) as job:
        note(job)
        clocks.put(HOUR)
        note(job)
        clocks.pass_by(timedelta(days=2))
        note(job)

        assert len(jumps(job)) == 1


def test_a_small_slip_is_no_jump(data: Folder) -> None:
    clocks = Clocks()
    with served(*data, clocks) as job:
        note(job)
        clocks.put(timedelta(seconds=59))
        note(job)

        assert jumps(job) == []


def test_a_clock_that_went_back_while_the_server_stood_is_found_out(data: Folder) -> None:
    clocks = Clocks()
    with served(*data, clocks) as job:
        note(job)
    before = clocks.wall
    clocks.put(-HOUR)
    clocks.steady = 0.0

    with served(*data, clocks) as job:
        note(job)

        (jump,) = jumps(job)
        assert (jump.by, datetime.fromisoformat(jump.before)) == (-3600, before)


def test_a_server_that_stood_for_days_has_no_jump(data: Folder) -> None:
    clocks = Clocks()
    with served(*data, clocks) as job:
        note(job)
    clocks.put(timedelta(days=3))

    with served(*data, clocks) as job:
        note(job)

        assert jumps(job) == []


def test_a_jump_whose_record_failed_is_found_again(data: Folder) -> None:
    clocks = Clocks()
    with served(*data, clocks) as job:
        note(job)
        clocks.put(HOUR)
        with pytest.raises(NotRecordedError):
            now(job.site.database.writer.write(lambda connection: failing(job, connection)))

        note(job)

        assert len(jumps(job)) == 1


def failing(job: Job, connection: sqlite3.Connection) -> None:
    """Record a remark in a commit that SQLite refuses."""
    break_a_key_at_commit(connection)
    record_events(job.site, connection, job.run, (NoteAdded(0, "lost"),), job.supervisor)


def test_the_steady_clock_goes_on() -> None:
    first = steady_s()

    assert steady_s() >= first
