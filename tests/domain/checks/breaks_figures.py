"""Ways to break a sound plan so that what is worked out of its tools, bolts and conductors finds it."""

from collections.abc import Callable
from dataclasses import replace

from app.domain.connections import ToolKind
from app.domain.crew import TestMoment
from app.domain.plan import Plan
from app.domain.quantities import Force, length, read_quantity
from tests.domain.checks.changes import change_cable, change_connection, change_electrical_test, change_tool

READ: dict[str, Callable[[Plan], Plan]] = {
    "pull-beyond-one-person": lambda plan: change_tool(plan, ToolKind.PIPE_WRENCH, arm=length(2, "ft")),
    "tool-arm-unfit": lambda plan: change_tool(plan, ToolKind.TORQUE_WRENCH, extension=length(3, "in")),
    "bolt-size-unfit": lambda plan: change_connection(plan, "flange", bolt_size=length(0, "in")),
    "bolts-overloaded": lambda plan: change_connection(
        plan, "flange", bolt_size=length(0.5, "in"), bolt_load=read_quantity("9000 lbf", Force)
    ),
    "conductor-unknown": lambda plan: change_cable(plan, 0, conductor="thick"),
    "resistance-not-of-copper": lambda plan: change_cable(plan, 0, conductor="4 AWG", length=length(9, "ft")),
    "polarization-limit-missing": lambda plan: replace(
        change_electrical_test(plan, TestMoment.LANDED, again_after_ten=True),
        limits=replace(plan.limits, polarization_low=None),
    ),
}
