"""How long it takes to measure a long string in its hole, nothing being remembered from before."""

import time
from statistics import median

from app.domain.room.cross_section import alone, beside, clamped, protected
from app.domain.room.enclosing import enclosing_circle
from app.domain.room.rows import room_rows
from app.domain.room.sections import sections
from app.domain.room.settling import settle_beside, settle_round
from tests.bench.measures import Measure
from tests.plan_builder import PlanChoice, SystemChoice, build_plan

MOST_SECTIONS_MS = 1000.0
JOINTS, STATIONS, TIMES = 2500, 5000, 5
REMEMBERING = (sections, alone, beside, clamped, protected, enclosing_circle, settle_beside, settle_round)


def room_of_many_stations() -> Measure:
    """Return the time for every section of a string of five thousand stations and its room in each casing."""
    plan, seconds = build_plan(PlanChoice((SystemChoice(), SystemChoice()), JOINTS)), []
    for _ in range(TIMES):
        for remembering in REMEMBERING:
            remembering.cache_clear()
        begun = time.perf_counter()
        rows = room_rows(plan)
        seconds.append(time.perf_counter() - begun)
        assert sum(row.count for row in rows) >= STATIONS
    return Measure("room in the hole at 5,000 stations", median(seconds) * 1000, "ms", MOST_SECTIONS_MS)
