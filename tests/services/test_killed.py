"""A program that is killed while it ticks: what was acknowledged is in the log, and the run comes back."""

import multiprocessing
import os
import time
from pathlib import Path

from app.domain.apply import fold
from app.domain.run import new_run
from app.records.chain import broken_links
from app.records.event_json import read_entry
from app.services.runs import act, log_of, new_key, run_of
from app.services.site import open_site
from tests.services import ticker
from tests.services.camp import Job, now
from tests.services.conftest import Open

CYCLES = int(os.environ.get("TWINLEG_KILL_CYCLES", "8"))
Told = tuple[int, str, int]


def run_and_kill(data: Path, run_id: str, pause_s: float) -> list[Told]:
    """Return what the program acknowledged before SIGKILL ended it: sequence, kind and step."""
    processes = multiprocessing.get_context("forkserver")
    processes.set_forkserver_preload([ticker.__name__])
    receiver, sender = processes.Pipe(duplex=False)
    process = processes.Process(target=ticker.tick_until_killed, args=(data, run_id, sender))
    process.start()
    sender.close()
    with receiver:
        assert receiver.poll(60), "the program never acknowledged anything"
        time.sleep(pause_s)
        process.kill()
        process.join()
        acknowledged: list[Told] = []
        while True:
            try:
                acknowledged.append(receiver.recv())
            except EOFError:
                return acknowledged


def test_a_killed_program_loses_no_acknowledged_tick_and_the_run_comes_back(
    job: Job, open_here: Open
) -> None:
    data, run_id, fresh = job.site.data, job.run_id, new_run(job.run_id, job.run.plan, job.run.sheet)
    job.site.close()
    acknowledged: list[Told] = []
    for cycle in range(CYCLES):
        acknowledged += run_and_kill(data, run_id, pause_s=0.013 * (cycle % 7))

        site = open_site(data)
        log = log_of(site, run_id)
        run = run_of(site, run_id)
        site.close()

        happened = [read_entry(entry) for entry in log]
        kept = {(entry.sequence, entry.kind): item.event for entry, item in zip(log, happened, strict=True)}
        lost = [told for told in acknowledged if getattr(kept.get(told[:2]), "step", None) != told[2]]
        assert lost == [], f"cycle {cycle} lost {lost}"
        assert broken_links(log) == []
        assert run == fold(fresh, happened)
    assert len(acknowledged) > CYCLES

    again = Job(open_here(data), run_id, job.crew)
    number = next(step.number for step in again.run.open_deck_steps() if not step.readings)
    acted = now(act(again.site, run_id, again.tick(number), again.supervisor, new_key()))
    assert acted.sequence == len(log) + 1
