"""A site to measure on: the demonstration with its larger plan released several times."""

import asyncio
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from app.demo import DEMO_CREW, demo_plan_text
from app.domain.events.who import Who
from app.domain.problems import accepting
from app.domain.sheet import Lane
from app.services.data_folder import mark_demonstration
from app.services.demonstration import prepare_demonstration
from app.services.people import everybody
from app.services.plans import all_plans, release
from app.services.proof import prove
from app.services.runs import new_key, run_of
from app.services.site import Site, open_site

PLAN = "dual"


@dataclass(frozen=True, slots=True)
class Ticks:
    """A run, and the numbers of its steps that can be ticked at any time and without readings."""

    run_id: str
    steps: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class MeasuredSite:
    """A data folder, who signs in on it, and what there is to tick."""

    data: Path
    person_id: str
    pin: str
    runs: tuple[Ticks, ...]


def measured_site(data: Path, runs: int) -> MeasuredSite:
    """Return a demonstration with so many released runs, closed again and ready to be served."""
    data.mkdir(parents=True)
    mark_demonstration(data)
    supervisor = DEMO_CREW[0]
    with closing(open_site(data, demo=True)) as site:
        prepare_demonstration(site)
        who = next(
            Who(person.id, person.name, person.role)
            for person in everybody(site)
            if person.name == supervisor.name
        )
        released = tuple(asyncio.run(_released(site, who, supervisor.pin)) for _ in range(runs))
    return MeasuredSite(data, who.person_id, supervisor.pin, released)


async def _released(site: Site, who: Who, pin: str) -> Ticks:
    text = demo_plan_text(PLAN)
    kept = next(plan for plan in all_plans(site) if plan.text == text)
    accepted = tuple(accepting(problem) for problem in prove(text, site.clock().date()).cautions())
    acted = await release(site, kept.id, who, pin=pin, accepted=accepted, key=new_key())
    steps = run_of(site, acted.run_id).sheet.lane(Lane.DECK)
    return Ticks(acted.run_id, tuple(step.number for step in steps if not step.readings and not step.needs))
