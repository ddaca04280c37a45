"""How long every check of the larger demonstration plan takes, nothing being remembered from before."""

import time
from datetime import date
from statistics import median

from app.demo import demo_plan_text
from app.domain.checks.every import run_checks
from app.domain.problems import has_stop
from app.records.plan_toml import read_plan
from tests.bench.measures import Measure
from tests.bench.room import REMEMBERING
from tests.bench.site import PLAN

MOST_CHECKS_MS = 100.0
TIMES = 9


def checks_of_the_larger_demonstration() -> Measure:
    """Return the time for every check of a plan that was read already."""
    (plan, _), seconds = read_plan(demo_plan_text(PLAN)), []
    assert plan is not None
    for _ in range(TIMES):
        for remembering in REMEMBERING:
            remembering.cache_clear()
        begun = time.perf_counter()
        found = run_checks(plan, date(2026, 1, 1))
        seconds.append(time.perf_counter() - begun)
        assert not has_stop(found)
    return Measure(
        "every check of the larger demonstration plan", median(seconds) * 1000, "ms", MOST_CHECKS_MS
    )
