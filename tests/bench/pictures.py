"""How long the picture of the string takes after the last step of the larger demonstration plan."""

import time
from datetime import date
from statistics import median

from app.demo import demo_plan_text
from app.services.pictures import picture_after
from app.services.proof import prove
from tests.bench.measures import Measure
from tests.bench.site import PLAN

MOST_MS = 1000.0
TIMES = 7


def picture_of_the_last_step() -> Measure:
    """Return the time from a compiled sheet to the SVG of its last step."""
    proof = prove(demo_plan_text(PLAN), date(2026, 1, 1))
    assert proof.plan is not None
    assert proof.sheet is not None
    last, seconds = len(proof.sheet.steps), []
    for _ in range(TIMES):
        begun = time.perf_counter()
        picture = picture_after(proof.plan, proof.sheet, last)
        seconds.append(time.perf_counter() - begun)
        assert f"After step {last} of {last}" in picture
    return Measure(f"picture of the string after step {last}", median(seconds) * 1000, "ms", MOST_MS)
