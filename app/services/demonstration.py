"""The demonstration: an invented crew and its plans, put into a site by the same doors as real ones."""

from app.demo import DEMO_CREW, DEMO_NAMES, DemoPerson, demo_plan_text
from app.domain.crew import SUPERVISOR
from app.domain.events.who import Who
from app.services.people import add_first_supervisor, add_person, everybody
from app.services.plans import all_plans, keep_plan
from app.services.site import Site


def prepare_demonstration(site: Site) -> None:
    """Leave the site with the invented crew and plans; what is there already stays as it is."""
    supervisor = _add_crew(site)
    kept = {plan.name for plan in all_plans(site)}
    for name in DEMO_NAMES:
        if _plan_name(name) not in kept:
            keep_plan(site, _plan_name(name), demo_plan_text(name), supervisor)


def _add_crew(site: Site) -> Who:
    first, *others = DEMO_CREW
    assert first.role == SUPERVISOR, "the first person of a site is a supervisor"
    known = {person.name: Who(person.id, person.name, person.role) for person in everybody(site)}
    supervisor = known.get(first.name) or add_first_supervisor(site, first.name, first.pin)
    for person in others:
        if person.name not in known:
            _add(site, supervisor, person)
    return supervisor


def _add(site: Site, supervisor: Who, person: DemoPerson) -> None:
    add_person(site, supervisor, person.name, person.role, person.pin)


def _plan_name(name: str) -> str:
    return f"Demonstration: {name} pump"
