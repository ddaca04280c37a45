"""The demonstration: an invented crew and its plans, put into a site by the same doors as real ones."""

import asyncio

from app.demo import DEMO_CREW, DEMO_NAMES, DemoPerson, demo_plan_text
from app.domain.crew import SUPERVISOR
from app.domain.events.who import Who
from app.domain.site_rights import SiteAct
from app.services.people import add_first_supervisor, add_person, everybody
from app.services.pins import choose_pin, open_pin_choice
from app.services.plans import all_plans, keep_plan
from app.services.runs import new_key
from app.services.site import Site
from app.services.tries import Present, present
from app.store.people import KeptPerson


def prepare_demonstration(site: Site) -> None:
    """Leave the site with the invented crew and plans; what is there already stays as it is."""
    supervisor = asyncio.run(_add_crew(site))
    kept = {plan.name for plan in all_plans(site)}
    for name in DEMO_NAMES:
        if _plan_name(name) not in kept:
            keep_plan(site, _plan_name(name), demo_plan_text(name), supervisor)


async def _add_crew(site: Site) -> Who:
    first, *others = DEMO_CREW
    assert first.role == SUPERVISOR, "the first person of a site is a supervisor"
    known = {person.name: person for person in everybody(site)}
    lead = known[first.name].who if first.name in known else add_first_supervisor(site, first.name, first.pin)
    for person in others:
        there = known.get(person.name)
        if there is None or not there.has_pin:
            await _add(site, await present(site, SiteAct.ADD_PERSON, lead, first.pin), person, there)
    return lead


async def _add(site: Site, by: Present, person: DemoPerson, there: KeptPerson | None) -> None:
    # Somebody is there without a PIN where the demonstration was killed as it began.
    if there is not None:
        person_id = there.id
    else:
        person_id = (await add_person(site, by, person.name, person.role, key=new_key())).run_id
    handed_over = await open_pin_choice(site, by, person_id, "The demonstration begins.", key=new_key())
    await choose_pin(site, handed_over.token, person.pin, key=new_key())


def _plan_name(name: str) -> str:
    return f"Demonstration: {name} pump"
