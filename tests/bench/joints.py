"""How long it takes to choose joints from a rack of sixty, runners-up included."""

import time
from dataclasses import replace

from app.domain.closing_legs import Rack
from app.domain.joint_choice.choice import choose_joints
from app.domain.parts import Joint
from app.domain.plan import Plan
from app.domain.quantities import length
from tests.bench.measures import Measure
from tests.plan_builder import PlanChoice, SystemChoice, build_plan

MOST_CHOOSING_S = 5.0
JOINTS, PUPS = 60, 6
RACKS = 5


def choice_from_sixty_joints() -> Measure:
    """Return the longest time that one of a few racks of sixty joints takes, couplings and clamps in play."""
    seconds = []
    for rack in range(RACKS):
        plan = _plan(rack)
        begun = time.perf_counter()
        choice = choose_joints(plan, 1)
        seconds.append(time.perf_counter() - begun)
        assert choice.leg is not None
    return Measure("choose joints from sixty, the slowest of five racks", max(seconds), "s", MOST_CHOOSING_S)


def _plan(rack: int) -> Plan:
    """Return a plan of two systems, the upper one off mid stroke, with lengths spread as on a rack."""
    plan = build_plan(PlanChoice((SystemChoice(), SystemChoice(coupled=True, swivel_share=0.9))))
    joints = tuple(_joint(number, (number * 37 + rack * 11) % 101 / 100) for number in range(JOINTS))
    return replace(plan, rack=(Rack(plan.systems[1].bypass.name, joints),))


def _joint(number: int, share: float) -> Joint:
    is_pup = number < PUPS
    feet = 2 + 8 * share if is_pup else 28 + 4 * share
    return Joint(f"R-{number}", length(round(feet, 2), "ft"), pup=is_pup)
