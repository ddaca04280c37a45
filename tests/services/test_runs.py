import asyncio
import sqlite3
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

import pytest

from app.domain.apply import fold
from app.domain.commands import AddNote, Command, FinishStep, UndoStep
from app.domain.events.remarks import NoteAdded
from app.domain.overtaken import StaleError
from app.domain.refusals import AlreadyDoneError, ClosedRunError, HeldError, NobodyError, RefusedError
from app.domain.run import new_run
from app.records.chain import broken_links
from app.records.event_json import read_entry
from app.services.recording import UnwritableTextError
from app.services.runs import (
    LONGEST_KEY,
    SHORTEST_KEY,
    Acted,
    KeyMissingError,
    UnknownRunError,
    act,
    all_runs,
    log_of,
    new_key,
    run_of,
)
from app.services.site import open_site
from app.store.answers import KeyReusedError
from app.store.writer import NotRecordedError
from tests.services.camp import Job, clock, now
from tests.services.conftest import Open

TICK = FinishStep(1)
LONG, LONGEST = "x" * 3000, "x" * 4000
PLENTY = 1_000_000


def limit_pages(job: Job, more: int) -> None:
    """Let the database grow by so many pages and no further, as a full disk does."""

    def limit(connection: sqlite3.Connection) -> None:
        (at_present,) = connection.execute("PRAGMA page_count").fetchone()
        connection.execute(f"PRAGMA max_page_count = {at_present + more}").fetchall()

    job.site.database.writer.run(limit)


def fill_the_disk(job: Job) -> int:
    """Return how many notes were acknowledged before the disk was full."""
    limit_pages(job, more=20)
    for number in range(1000):
        try:
            job.do(AddNote(0, LONG))
        except NotRecordedError:
            return number
    raise AssertionError("the disk was never full")


# --- one tap, one event


def test_a_command_is_answered_with_its_place_in_the_log(job: Job) -> None:
    acted = job.do(TICK)

    assert acted == Acted(job.run_id, 2, ("step-done",))
    assert [entry.kind for entry in log_of(job.site, job.run_id)] == ["plan-released", "step-done"]
    assert job.run.done[1].who == job.supervisor


def test_the_same_tap_twice_is_one_event_and_the_same_answer(job: Job) -> None:
    key = new_key()

    first, second = job.do(TICK, key=key), job.do(TICK, key=key)

    assert (first.sequence, first.kinds, first.repeated) == (2, ("step-done",), False)
    assert (second.sequence, second.kinds, second.repeated) == (2, ("step-done",), True)
    assert len(log_of(job.site, job.run_id)) == 2


def test_the_same_tap_twenty_times_at_once_is_one_event(job: Job) -> None:
    key = new_key()

    async def all_at_once() -> list[Acted]:
        taps = (act(job.site, job.run_id, TICK, job.supervisor, key) for _ in range(20))
        return list(await asyncio.gather(*taps))

    answers = now(all_at_once())

    assert {answer.sequence for answer in answers} == {2}
    assert [answer.repeated for answer in answers].count(False) == 1


def test_the_same_tap_after_a_restart_gets_the_same_answer(job: Job, open_here: Open) -> None:
    key = new_key()
    job.do(TICK, key=key)
    job.site.close()

    again = Job(open_here(job.site.data), job.run_id, job.crew)

    assert again.do(TICK, key=key) == Acted(job.run_id, 2, ("step-done",), repeated=True)


def test_the_same_tap_gets_its_answer_although_the_run_has_moved_on(job: Job) -> None:
    key = new_key()
    job.do(TICK, key=key)
    job.do(UndoStep(1, "slip"))

    assert job.do(TICK, key=key).repeated
    assert not job.run.is_done(1)


def test_a_key_is_not_taken_for_another_command_person_or_run(job: Job) -> None:
    key = new_key()
    job.do(AddNote(0, "wind"), key=key)

    with pytest.raises(KeyReusedError, match="differs in body"):
        job.do(AddNote(0, "rain"), key=key)
    with pytest.raises(KeyReusedError, match="differs in person"):
        job.do(AddNote(0, "wind"), key=key, by="driller")
    with pytest.raises(KeyReusedError, match="differs in act"):
        job.do(TICK, key=key)

    assert len(log_of(job.site, job.run_id)) == 2


@pytest.mark.parametrize("key", ["", "x" * (SHORTEST_KEY - 1), "x" * (LONGEST_KEY + 1)])
def test_a_form_without_its_key_is_refused(job: Job, key: str) -> None:
    with pytest.raises(KeyMissingError, match="could be recorded twice"):
        now(act(job.site, job.run_id, TICK, job.supervisor, key))

    assert job.run.sequence == 1


@pytest.mark.parametrize("length", [SHORTEST_KEY, LONGEST_KEY])
def test_a_program_may_choose_its_own_key(job: Job, length: int) -> None:
    assert job.do(TICK, key="k" * length).sequence == 2


def test_a_fresh_key_is_long_enough_and_never_the_same() -> None:
    keys = {new_key() for _ in range(100)}

    assert len(keys) == 100
    assert all(SHORTEST_KEY <= len(key) <= LONGEST_KEY for key in keys)


def test_a_refused_command_leaves_nothing_and_its_key_may_be_used_again(job: Job) -> None:
    key = new_key()
    with pytest.raises(HeldError):
        job.do(FinishStep(len(job.run.sheet.steps)), key=key)

    acted = job.do(TICK, key=key)

    assert (acted.sequence, acted.repeated) == (2, False)


def test_nothing_is_done_by_nobody_or_to_a_run_that_is_not_there(job: Job) -> None:
    with pytest.raises(NobodyError):
        now(act(job.site, job.run_id, TICK, None, new_key()))
    with pytest.raises(UnknownRunError, match="There is no run 'nothing' here"):
        now(act(job.site, "nothing", TICK, job.supervisor, new_key()))
    with pytest.raises(UnknownRunError):
        run_of(job.site, "nothing")
    with pytest.raises(UnknownRunError):
        log_of(job.site, "nothing")


def test_half_a_letter_is_refused_in_words_and_not_recorded(job: Job) -> None:
    with pytest.raises(UnwritableTextError, match="half of a letter"):
        job.do(AddNote(0, "wind \ud800"))

    assert job.run.sequence == 1
    assert job.do(AddNote(0, "wind \U0001f32c")).sequence == 2


# --- many at once


def test_of_two_tablets_at_the_same_step_one_ticks_it_and_the_other_is_told(job: Job) -> None:
    async def both() -> list[Acted | BaseException]:
        taps = (act(job.site, job.run_id, TICK, job.supervisor, new_key()) for _ in range(2))
        return list(await asyncio.gather(*taps, return_exceptions=True))

    answers = now(both())

    assert sum(isinstance(answer, Acted) for answer in answers) == 1
    (refusal,) = [answer for answer in answers if isinstance(answer, AlreadyDoneError)]
    assert "Step 1 is done already, by Test Supervisor" in str(refusal)
    assert len(log_of(job.site, job.run_id)) == 2


def test_an_act_from_an_older_page_is_refused_with_what_overtook_it(job: Job) -> None:
    seen = job.run.sequence
    job.do(AddNote(1, "the left one is bent"), by="driller")

    with pytest.raises(StaleError) as refused:
        now(act(job.site, job.run_id, TICK, job.supervisor, new_key(), seen=seen))

    assert [(item.who, item.event) for item in refused.value.changes] == [
        (job.crew["driller"], NoteAdded(1, "the left one is bent"))
    ]
    assert not job.run.is_done(1)


def test_an_act_from_an_older_page_goes_through_where_others_did_something_else(job: Job) -> None:
    seen = job.run.sequence
    job.do(job.tick(2))

    acted = now(act(job.site, job.run_id, TICK, job.supervisor, new_key(), seen=seen))

    assert acted.sequence == seen + 2


def test_the_same_tap_again_gets_its_answer_although_its_page_is_older_by_now(job: Job) -> None:
    seen, key = job.run.sequence, new_key()
    first = now(act(job.site, job.run_id, TICK, job.supervisor, key, seen=seen))
    job.do(UndoStep(1, "wrong elevators"))

    again = now(act(job.site, job.run_id, TICK, job.supervisor, key, seen=seen))

    assert (again.sequence, again.repeated) == (first.sequence, True)


def test_many_tablets_in_many_threads_leave_one_whole_log(job: Job) -> None:
    def tick(number: int) -> bool:
        try:
            now(act(job.site, job.run_id, FinishStep(number % 18 + 1), job.supervisor, new_key()))
        except RefusedError:
            return False
        return True

    with ThreadPoolExecutor(12) as threads:
        ticked = list(threads.map(tick, range(90)))

    log = log_of(job.site, job.run_id)
    assert ticked.count(True) == 18
    assert [entry.sequence for entry in log] == list(range(1, 20))
    assert broken_links(log) == []
    assert job.run == fold(
        new_run(job.run_id, job.run.plan, job.run.sheet), [read_entry(entry) for entry in log]
    )


def test_what_another_program_recorded_is_seen_before_anything_is_decided(job: Job) -> None:
    assert job.run.sequence == 1  # in memory from here on
    other = Job(open_site(job.site.data, clock=clock()), job.run_id, job.crew)
    other.do(TICK)
    other.site.close()

    with pytest.raises(AlreadyDoneError):
        job.do(TICK)

    assert job.do(FinishStep(2)).sequence == 3
    assert set(job.run.done) == {1, 2}


# --- a restart


def test_a_restart_brings_back_the_same_run(job: Job, open_here: Open) -> None:
    for number in (1, 20, 40, 47):
        job.do(job.tick(number))
    job.do(UndoStep(40, "wrong joint"))
    job.do(AddNote(40, "it was BP-02"), by="floor crew")
    before = job.run
    job.site.close()

    again = open_here(job.site.data)

    assert run_of(again, job.run_id) == before
    assert run_of(again, job.run_id) is not before


def test_a_restart_brings_back_a_closed_run_that_takes_nothing_more(finished: Job) -> None:
    assert finished.run.is_closed
    assert all_runs(finished.site)[0].state == "closed"
    with pytest.raises(ClosedRunError):
        finished.do(AddNote(0, "one more thing"))


def test_the_log_is_told_from_any_sequence_on(job: Job) -> None:
    for number in (1, 2, 3):
        job.do(FinishStep(number))

    assert [entry.sequence for entry in log_of(job.site, job.run_id, after=2)] == [3, 4]
    assert log_of(job.site, job.run_id, after=4) == []


def test_the_list_of_runs_follows_every_event(job: Job) -> None:
    job.do(TICK)

    (listed,) = all_runs(job.site)

    assert (listed.run_id, listed.state, listed.well) == (job.run_id, "running", "Make-Believe 1")
    assert (listed.done, listed.total, listed.last_sequence) == (1, len(job.run.sheet.steps), 2)


# --- a disk that refuses


def test_a_commit_that_fails_acknowledges_nothing_and_memory_stays_with_the_log(job: Job) -> None:
    acknowledged = fill_the_disk(job)

    log = log_of(job.site, job.run_id)
    assert len(log) == 1 + acknowledged
    assert job.run.sequence == len(log)
    assert len(job.run.remarks) == acknowledged


def test_once_there_is_space_again_the_same_tap_is_recorded(job: Job) -> None:
    fill_the_disk(job)
    key, before = new_key(), job.run.sequence
    with pytest.raises(NotRecordedError, match="NOT RECORDED"):
        job.do(AddNote(0, LONGEST), key=key)

    limit_pages(job, more=PLENTY)
    acted = job.do(AddNote(0, LONGEST), key=key)

    assert (acted.sequence, acted.repeated) == (before + 1, False)
    assert len(log_of(job.site, job.run_id)) == before + 1


def break_a_key_at_commit(connection: sqlite3.Connection) -> None:
    """Write a row whose missing person SQLite notices only at COMMIT."""
    connection.execute("PRAGMA defer_foreign_keys = ON")
    connection.execute(
        "INSERT INTO session VALUES (?, 'nobody', '2031-05-04T06:07:08+02:00', NULL)", ("a" * 64,)
    )


def in_one_commit(
    job: Job, command: Command, key: str, *works: Callable[[sqlite3.Connection], None]
) -> Acted:
    """Return the answer to a command that shares its commit with other work."""
    writer = job.site.database.writer
    started, go_on = threading.Event(), threading.Event()

    def hold_up(_connection: sqlite3.Connection) -> None:
        started.set()
        go_on.wait(10)

    async def together() -> Acted:
        writer.submit(hold_up)
        started.wait(10)
        tap = asyncio.ensure_future(act(job.site, job.run_id, command, job.supervisor, key))
        await asyncio.sleep(0)  # the tap is with the writer now
        for work in works:
            writer.submit(work)
        go_on.set()
        return await tap

    return now(together())


def test_a_tick_whose_commit_fails_is_not_shown_as_done_and_may_be_done_again(job: Job) -> None:
    key = new_key()

    with pytest.raises(NotRecordedError):
        in_one_commit(job, TICK, key, break_a_key_at_commit)

    assert not job.run.is_done(1)
    assert len(log_of(job.site, job.run_id)) == 1
    assert job.do(TICK, key=key) == Acted(job.run_id, 2, ("step-done",), repeated=False)
    assert job.run.is_done(1)


def test_a_tick_is_not_shown_before_its_commit(job: Job) -> None:
    shown: list[int] = []

    in_one_commit(job, TICK, new_key(), lambda _connection: shown.append(job.run.sequence))

    assert shown == [1]
    assert job.run.sequence == 2


def test_an_older_run_never_takes_the_place_of_a_newer_one(job: Job) -> None:
    older = job.run
    job.do(TICK)

    job.site.publish(older)

    assert job.run.sequence == 2
