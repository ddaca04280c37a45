"""Which run of tubing stands on which system."""

from app.domain.parts import Tubing
from app.domain.plan import Plan


def run_above(plan: Plan, position: int) -> Tubing:
    """Return the run of tubing that stands on the system at a position, bottom to top."""
    above = plan.systems[position + 1].tubing_below if position + 1 < len(plan.systems) else None
    return above or plan.production.tubing
