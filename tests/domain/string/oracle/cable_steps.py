"""Steps about cables: only their weight is of interest to laws 1 to 5."""

from collections.abc import Callable

from app.domain.operations import Operation
from app.domain.sheet import Step
from tests.domain.string.oracle.floor import Floor
from tests.domain.string.oracle.needs import Laws


def connect_pothead(floor: Floor, step: Step) -> Laws:
    """A lead's whole weight comes on its motor."""
    lead, motor = step.parts[0], step.parts[1]
    if lead not in floor.leads:
        floor.add_mass(motor, floor.facts.lead_masses.get(lead, 0.0))
    floor.leads.add(lead)
    return set()


def splice(floor: Floor, step: Step) -> Laws:
    """A main cable goes down with the string from now on."""
    floor.spliced.add(step.parts[1])
    return set()


DOES: dict[Operation, Callable[[Floor, Step], Laws]] = {
    Operation.CONNECT_POTHEAD: connect_pothead,
    Operation.SPLICE: splice,
}
