import multiprocessing
import os
import time
from pathlib import Path

from app.records.chain import broken_links
from app.store import event_log
from app.store.database import open_database
from tests.store import appender
from tests.store.conftest import MIGRATIONS

CYCLES = int(os.environ.get("TWINLEG_KILL_CYCLES", "20"))


def run_and_kill(path: Path, pause_s: float) -> set[str]:
    """Return what the program acknowledged before SIGKILL ended it."""
    # The fork server imports the store once, so that a cycle takes a tenth of a second.
    processes = multiprocessing.get_context("forkserver")
    processes.set_forkserver_preload([appender.__name__])
    receiver, sender = processes.Pipe(duplex=False)
    process = processes.Process(target=appender.append_until_killed, args=(path, sender))
    process.start()
    sender.close()
    with receiver:
        assert receiver.poll(60), "the program never acknowledged anything"
        time.sleep(pause_s)
        process.kill()
        process.join()
        acknowledged = set()
        while True:
            try:
                acknowledged.add(receiver.recv_bytes().decode())
            except EOFError:
                return acknowledged


def test_a_killed_program_loses_no_acknowledged_event_and_leaves_the_chain_whole(path: Path) -> None:
    acknowledged: set[str] = set()
    for cycle in range(CYCLES):
        acknowledged |= run_and_kill(path, pause_s=0.011 * (cycle % 10))

        database = open_database(path, MIGRATIONS)

        with database.reader() as session:
            logs = {run: event_log.read_log(session, run) for run in appender.RUNS}
            answered = set(session.connection().exec_driver_sql("SELECT key FROM answer").scalars())
            integrity = session.connection().exec_driver_sql("PRAGMA integrity_check").scalar_one()
        database.close()
        kept = {f"{run} {entry.sequence}" for run, log in logs.items() for entry in log}
        assert acknowledged <= kept, f"cycle {cycle} lost {sorted(acknowledged - kept)}"
        assert answered == kept, f"cycle {cycle} parted an event from its answer"
        assert [broken_links(log) for log in logs.values()] == [[]] * len(appender.RUNS)
        assert integrity == "ok"
    assert len(acknowledged) > CYCLES
