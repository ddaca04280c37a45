"""The pull of tightened bolts against SAE J429 and ASME B1.1.

Areas are those of the proof-load table of SAE J429 in a public record, proof stresses those of two public
pages. Clamp loads and torques, at 75 % of proof and nut factors of 0.15, 0.18 and 0.20, are those of
engineersedge.com, table 13355; it prints torques to a whole ft*lbf.
"""

from dataclasses import dataclass
from math import pi

import pytest

from app.demo import DEMO_NAMES
from app.domain.figures.torque import NUT_FACTOR, preload
from app.domain.plan import Plan
from app.domain.quantities import Ratio, in_unit, length, torque
from tests.records.test_demo_plans import demo_plan

PRINTED_IN2 = 0.0005
PRINTED_FT_LBF = 0.5
ROUNDED_LOAD = 0.005  # proof loads are printed to a hundred pounds, clamp loads from areas of three figures
OF_PROOF = 0.75
PROOF_PSI = {2: 55_000, 5: 85_000, 8: 120_000}


@dataclass(frozen=True, slots=True)
class Bolt:
    """A coarse bolt: its size, threads to the inch, and the area that carries, as printed."""

    name: str
    size_in: float
    threads: int
    area_in2: float


@dataclass(frozen=True, slots=True)
class Row:
    """A bolt of a grade: its clamp load, and the torques for it at three nut factors."""

    bolt: Bolt
    grade: int
    clamp_lbf: float
    torques: tuple[float, float, float]


QUARTER = Bolt("1/4-20", 0.25, 20, 0.0318)
THREE_EIGHTHS = Bolt("3/8-16", 0.375, 16, 0.0775)
HALF = Bolt("1/2-13", 0.5, 13, 0.1419)
FIVE_EIGHTHS = Bolt("5/8-11", 0.625, 11, 0.226)
THREE_QUARTERS = Bolt("3/4-10", 0.75, 10, 0.334)
SEVEN_EIGHTHS = Bolt("7/8-9", 0.875, 9, 0.462)
INCH = Bolt("1-8", 1.0, 8, 0.606)
BOLTS = (QUARTER, THREE_EIGHTHS, HALF, FIVE_EIGHTHS, THREE_QUARTERS, SEVEN_EIGHTHS, INCH)

FACTORS = (0.15, 0.18, 0.20)
TABLE = (
    Row(THREE_EIGHTHS, 2, 3196, (15, 18, 20)),
    Row(HALF, 2, 5853, (37, 44, 49)),
    Row(FIVE_EIGHTHS, 2, 9323, (73, 87, 97)),
    Row(THREE_QUARTERS, 2, 13_797, (129, 155, 172)),
    Row(THREE_EIGHTHS, 5, 4940, (23, 28, 31)),
    Row(HALF, 5, 9046, (57, 68, 75)),
    Row(FIVE_EIGHTHS, 5, 14_408, (113, 135, 150)),
    Row(THREE_QUARTERS, 5, 21_322, (200, 240, 267)),
    Row(SEVEN_EIGHTHS, 5, 29_436, (322, 386, 429)),
    Row(INCH, 5, 38_616, (483, 579, 644)),
    Row(THREE_EIGHTHS, 8, 6974, (33, 39, 44)),
    Row(HALF, 8, 12_771, (80, 96, 106)),
    Row(FIVE_EIGHTHS, 8, 20_340, (159, 191, 212)),
    Row(THREE_QUARTERS, 8, 30_101, (282, 339, 376)),
    Row(SEVEN_EIGHTHS, 8, 41_556, (455, 545, 606)),
    Row(INCH, 8, 54_517, (681, 818, 909)),
)


def _area_in2(bolt: Bolt) -> float:
    """Return the area that carries by ASME B1.1: pi/4 (D - 0.9743 / n)^2."""
    return pi / 4 * (bolt.size_in - 0.9743 / bolt.threads) ** 2


@pytest.mark.parametrize("bolt", BOLTS, ids=lambda bolt: bolt.name)
def test_the_area_of_asme_b1_1_is_the_one_that_sae_j429_prints(bolt: Bolt) -> None:
    assert _area_in2(bolt) == pytest.approx(bolt.area_in2, abs=PRINTED_IN2)


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"{row.bolt.name}, grade {row.grade}")
def test_the_torque_of_the_table_pulls_three_quarters_of_proof(row: Row) -> None:
    proof_lbf = PROOF_PSI[row.grade] * _area_in2(row.bolt)

    pulls = [
        in_unit(preload(torque(value, "ft*lbf"), length(row.bolt.size_in, "in"), Ratio(factor)), "lbf")
        for value, factor in zip(row.torques, FACTORS, strict=True)
    ]

    assert row.clamp_lbf == pytest.approx(OF_PROOF * proof_lbf, rel=ROUNDED_LOAD)
    for value, pull_lbf in zip(row.torques, pulls, strict=True):
        assert pull_lbf == pytest.approx(row.clamp_lbf, rel=PRINTED_FT_LBF / value + 1e-4)


@pytest.mark.parametrize(
    ("bolt", "grade", "printed_lbf"), [(THREE_QUARTERS, 5, 28_400), (THREE_QUARTERS, 8, 40_100)]
)
def test_proof_loads_are_as_sae_j429_prints_them(bolt: Bolt, grade: int, printed_lbf: float) -> None:
    assert PROOF_PSI[grade] * _area_in2(bolt) == pytest.approx(printed_lbf, rel=ROUNDED_LOAD)


def test_a_half_inch_bolt_of_grade_2_to_a_tenth_of_a_foot_pound() -> None:
    # Another public table of SAE J429 bolts prints 48.8 ft*lbf and 5853 lbf for dry threads.
    pull = preload(torque(48.8, "ft*lbf"), length(0.5, "in"), NUT_FACTOR)

    assert in_unit(pull, "lbf") == pytest.approx(5853, rel=0.001)


@pytest.mark.parametrize("plan", [demo_plan(name) for name in DEMO_NAMES], ids=DEMO_NAMES)
def test_bolts_of_the_demonstration_are_what_their_source_says(plan: Plan) -> None:
    bolted = [kind for kind in plan.connection_types if "1/2-13 grade 5" in kind.source]
    proof_lbf = PROOF_PSI[5] * HALF.area_in2

    assert bolted
    for kind in bolted:
        assert kind.bolt_size is not None
        assert kind.bolt_load is not None
        pull = preload(kind.target, kind.bolt_size, kind.nut_factor or NUT_FACTOR)
        assert in_unit(pull, "lbf") == pytest.approx(OF_PROOF * proof_lbf, rel=0.01)
        assert in_unit(kind.bolt_load, "lbf") <= proof_lbf
