"""Ticks and unticks a step through the services and tells what was acknowledged, until it is killed."""

import asyncio
from multiprocessing.connection import Connection
from pathlib import Path

from app.domain.commands import Command, FinishStep, UndoStep
from app.services.runs import act, new_key, run_of
from app.services.site import Site, open_site
from tests.services.camp import crew_of

STEPS = (1, 2, 3, 4)


def tick_until_killed(data: Path, run_id: str, acknowledged: Connection) -> None:
    """Tick four steps of a run over and over, all at once; send the sequence of each acknowledged event."""
    site = open_site(data)
    asyncio.run(_tick_all(site, run_id, acknowledged))


async def _tick_all(site: Site, run_id: str, acknowledged: Connection) -> None:
    await asyncio.gather(*(_tick_one(site, run_id, number, acknowledged) for number in STEPS))


async def _tick_one(site: Site, run_id: str, number: int, acknowledged: Connection) -> None:
    supervisor = crew_of(site)["supervisor"]
    while True:
        done = run_of(site, run_id).is_done(number)
        command: Command = UndoStep(number, "again") if done else FinishStep(number)
        acted = await act(site, run_id, command, supervisor, new_key())
        acknowledged.send((acted.sequence, acted.kinds[0], number))
