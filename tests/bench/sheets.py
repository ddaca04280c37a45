"""How long it takes to compile, simulate, prove and check a long sheet, and one ten times as long."""

import gc
import time
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from statistics import median

from app.domain.checks.every import run_checks
from app.domain.compiler.compile import compile_plan
from app.domain.plan import Plan
from app.domain.string.laws import prove_sheet
from tests.bench.measures import Measure
from tests.plan_builder import PlanChoice, build_plan

LONG, TEN_TIMES = 206, 2390  # production joints that make about 2,500 and 25,000 steps
MOST_MS = 1000.0
# Linear is 1; what no longer fits into a processor's memory is reached a little more slowly.
MOST_A_STEP = 1.2
TODAY = date(2026, 1, 1)


def long_sheets() -> Iterator[Measure]:
    """Yield the time of a sheet of 2,500 steps, and a step of 25,000 as a multiple of a step of these."""
    steps, short_s = _proven(LONG, times=5)
    more_steps, long_s = _proven(TEN_TIMES, times=3)
    times = (long_s / more_steps) / (short_s / steps)
    yield Measure(f"compile, simulate, prove and check {steps:,} steps", short_s * 1000, "ms", MOST_MS)
    yield Measure(f"a step of {more_steps:,}, as a multiple of a step of these", times, "x", MOST_A_STEP)


def _proven(production_joints: int, times: int) -> tuple[int, float]:
    plan, seconds, steps = _strong(build_plan(PlanChoice(production_joints=production_joints))), [], 0
    for _ in range(times):
        # No garbage is looked for, as in every command: it is a share of all that lives, not of the work.
        gc.collect()
        gc.disable()
        begun = time.perf_counter()
        sheet, _ = compile_plan(plan)
        problems = prove_sheet(plan, sheet)
        run_checks(plan, TODAY)
        seconds.append(time.perf_counter() - begun)
        gc.enable()
        assert problems == ()
        steps = len(sheet.steps)
    return steps, median(seconds)


def _strong(plan: Plan) -> Plan:
    # No gear on earth holds ten times the tubing; that is not what is measured here.
    gear = tuple(replace(item, wll=item.wll * 10.0) for item in plan.lifting_gear)
    return replace(plan, lifting_gear=gear)
