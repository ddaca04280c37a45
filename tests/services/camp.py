"""The camp that the use cases are tested in: a clock that moves by itself, and a job with its crew."""

import asyncio
import itertools
from collections.abc import Callable, Coroutine
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from typing import Any, TypeVar

from app.demo import demo_plan_text
from app.domain.commands import Command, FinishStep
from app.domain.events.who import Who
from app.domain.run import Run
from app.services.people import everybody
from app.services.runs import Acted, act, new_key, run_of
from app.services.site import Site
from tests.runner import close, good_readings, run_to_the_end

T = TypeVar("T")

START = datetime(2031, 5, 4, 6, 0, tzinfo=timezone(timedelta(hours=2)))
SINGLE = demo_plan_text("single")


def clock() -> Callable[[], datetime]:
    """Return a clock that is a second later each time somebody looks."""
    seconds = itertools.count()
    return lambda: START + timedelta(seconds=next(seconds))


def stopped(at: datetime = START) -> Callable[[], datetime]:
    """Return a clock that stands still."""
    return lambda: at


def patient() -> Callable[[], datetime]:
    """Return the clock of somebody who waits an hour before each look."""
    hours = itertools.count()
    return lambda: START + timedelta(hours=next(hours))


def crew_of(site: Site) -> dict[str, Who]:
    """Return the crew of a site by role."""
    return {person.role: Who(person.id, person.name, person.role) for person in everybody(site)}


@dataclass(frozen=True, slots=True)
class Job:
    """A site with its crew and one run of the small demonstration plan."""

    site: Site
    run_id: str
    crew: dict[str, Who]

    @property
    def supervisor(self) -> Who:
        return self.crew["supervisor"]

    @property
    def run(self) -> Run:
        return run_of(self.site, self.run_id)

    def do(self, command: Command, *, key: str | None = None, by: str = "supervisor") -> Acted:
        """Return the answer to a command of somebody."""
        return now(act(self.site, self.run_id, command, self.crew[by], key or new_key()))

    def tick(self, number: int) -> FinishStep:
        """Return the tick of a step with good readings."""
        return FinishStep(number, good_readings(self.run, self.run.sheet.steps[number - 1]))


def now(doing: Coroutine[Any, Any, T]) -> T:
    """Return what comes of something that is waited for."""
    return asyncio.run(doing)


async def run_and_close(job: Job) -> None:
    """Run the whole job and close it."""
    await run_to_the_end(job.site, job.run_id, job.crew)
    await close(job.site, job.run_id, job.crew)
