"""Pipe sizes against API 5CT dimensions, as two public tables and a general trajectory library print them.

Weights in the last column are plain-end ones, worked out from the published constant; they test the
arithmetic, not the standard. Couplings are those of its tables for external-upset tubing, in the library.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import pytest

from app.demo import DEMO_NAMES
from app.domain.checks.places import every_tubing
from app.domain.checks.tubular import casing_drift, inside_diameter, plain_end_weight, tubing_drift
from app.domain.parts import Tubing
from app.domain.plan import Plan
from app.domain.quantities import in_unit, length
from app.domain.room.tracks import COUPLING_REACH
from tests.records.test_demo_plans import demo_plan

PRINTED_IN = 0.0006  # tables print thousandths of an inch
PRINTED_LB_FT = 0.011
THREAD_END_IN = 0.5  # from half the coupling to where the thread vanishes


@dataclass(frozen=True, slots=True)
class Pipe:
    """One row of the tables; plain-end weight is worked out."""

    name: str
    od_in: float
    wall_in: float
    inside_in: float
    drift_in: float
    plain_end_lb_ft: float


TUBING = (
    Pipe("2 7/8, 6.4 and 6.5 lb/ft", 2.875, 0.217, 2.441, 2.347, 6.17),
    Pipe("3 1/2, 9.2 and 9.3 lb/ft", 3.500, 0.254, 2.992, 2.867, 8.81),
    Pipe("4 1/2, 12.6 and 12.75 lb/ft", 4.500, 0.271, 3.958, 3.833, 12.25),
)
CASING = (
    Pipe("7, 26 lb/ft", 7.000, 0.362, 6.276, 6.151, 25.69),
    Pipe("7, 29 lb/ft", 7.000, 0.408, 6.184, 6.059, 28.75),
    Pipe("7, 32 lb/ft", 7.000, 0.453, 6.094, 5.969, 31.70),
    Pipe("9 5/8, 40 lb/ft", 9.625, 0.395, 8.835, 8.679, 38.97),
    Pipe("9 5/8, 43.5 lb/ft", 9.625, 0.435, 8.755, 8.599, 42.73),
    Pipe("9 5/8, 47 lb/ft", 9.625, 0.472, 8.681, 8.525, 46.18),
    Pipe("9 5/8, 53.5 lb/ft", 9.625, 0.545, 8.535, 8.379, 52.90),
    Pipe("13 3/8, 68 lb/ft", 13.375, 0.480, 12.415, 12.259, 66.17),
    Pipe("13 3/8, 72 lb/ft", 13.375, 0.514, 12.347, 12.191, 70.67),
)
# External-upset tubing: outside diameter of the pipe, of its coupling, and the coupling's least length [in].
COUPLINGS = {2.375: (3.063, 4.875), 2.875: (3.668, 5.250), 3.5: (4.500, 5.750), 4.5: (5.563, 6.250)}
DEMO_PLANS = [demo_plan(name) for name in DEMO_NAMES]


def _made_up_in(od_in: float) -> float:
    """Return how far the end of external-upset tubing goes into its coupling [in]."""
    return COUPLINGS[od_in][1] / 2 - THREAD_END_IN


def _coupled(plan: Plan) -> Iterator[Tubing]:
    return (tubing for _, tubing in every_tubing(plan) if tubing.coupling_od is not None)


@pytest.mark.parametrize("pipe", TUBING + CASING, ids=lambda pipe: pipe.name)
def test_inside_diameter_and_weight_follow_from_the_wall(pipe: Pipe) -> None:
    od, wall = length(pipe.od_in, "in"), length(pipe.wall_in, "in")

    bore, plain_end = inside_diameter(od, wall), plain_end_weight(od, wall)

    assert in_unit(bore, "in") == pytest.approx(pipe.inside_in, abs=PRINTED_IN)
    assert in_unit(plain_end, "lb/ft") == pytest.approx(pipe.plain_end_lb_ft, abs=PRINTED_LB_FT)


@pytest.mark.parametrize("pipe", TUBING, ids=lambda pipe: pipe.name)
def test_tubing_drifts_as_printed(pipe: Pipe) -> None:
    standard = tubing_drift(length(pipe.od_in, "in"), length(pipe.inside_in, "in"))

    assert in_unit(standard, "in") == pytest.approx(pipe.drift_in, abs=PRINTED_IN)


@pytest.mark.parametrize("pipe", CASING, ids=lambda pipe: pipe.name)
def test_casing_drifts_as_printed(pipe: Pipe) -> None:
    standard = casing_drift(length(pipe.od_in, "in"), length(pipe.inside_in, "in"))

    assert in_unit(standard, "in") == pytest.approx(pipe.drift_in, abs=PRINTED_IN)


@pytest.mark.parametrize(
    ("od", "allowance"), [(8.625, 0.125), (9.625, 0.15625), (13.375, 0.15625), (16.0, 0.1875)]
)
def test_the_allowance_steps_where_the_standard_steps(od: float, allowance: float) -> None:
    inside = length(od - 1, "in")

    room = inside - casing_drift(length(od, "in"), inside)

    assert in_unit(room, "in") == pytest.approx(allowance)


def test_a_coupling_is_taken_to_reach_as_far_as_the_longest_is_long() -> None:
    longest_in = max(long_in for _, long_in in COUPLINGS.values())

    assert longest_in <= in_unit(COUPLING_REACH, "in") < longest_in + 0.5


@pytest.mark.parametrize(
    ("od_in", "made_up_in"), [(2.375, 1.938), (2.875, 2.125), (3.5, 2.375), (4.5, 2.625)]
)
def test_half_a_coupling_less_half_an_inch_is_the_length_of_the_thread(
    od_in: float, made_up_in: float
) -> None:
    # API 5B, from memory; the couplings of its sister standard come to the same.
    assert _made_up_in(od_in) == pytest.approx(made_up_in, abs=PRINTED_IN)


@pytest.mark.parametrize("plan", DEMO_PLANS, ids=DEMO_NAMES)
def test_couplings_of_the_demonstration_are_those_of_the_tables(plan: Plan) -> None:
    coupled = list(_coupled(plan))

    assert coupled
    for tubing in coupled:
        od_in = in_unit(tubing.od, "in")
        assert tubing.coupling_od is not None
        assert in_unit(tubing.coupling_od, "in") == pytest.approx(COUPLINGS[od_in][0], abs=PRINTED_IN)
        assert in_unit(tubing.make_up_loss, "in") == pytest.approx(_made_up_in(od_in), abs=PRINTED_IN)


@pytest.mark.parametrize("plan", DEMO_PLANS, ids=DEMO_NAMES)
def test_drifts_of_the_demonstration_are_those_of_the_tables(plan: Plan) -> None:
    drifts = {pipe.od_in: set[float]() for pipe in TUBING + CASING}
    for pipe in TUBING + CASING:
        drifts[pipe.od_in].add(pipe.drift_in)

    casing = [(pipe.od, pipe.drift) for pipe in plan.well.casing]
    tubing = [(run.od, run.drift) for _, run in every_tubing(plan) if run.drift is not None]

    assert len(tubing) == len(list(every_tubing(plan)))
    for od, drift in casing + tubing:
        assert min(abs(in_unit(drift, "in") - known) for known in drifts[in_unit(od, "in")]) < PRINTED_IN
