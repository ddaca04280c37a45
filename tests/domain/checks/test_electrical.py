"""Imbalance and the verdicts on phase and insulation resistance."""

from dataclasses import replace

import pytest

from app.domain.checks.electrical import check_moments, imbalance, insulation_verdict, phase_verdict
from app.domain.crew import TestMoment
from app.domain.install_record import ReadingVerdict
from app.domain.quantities import Resistance, in_unit, read_quantity
from tests.plan_builder import PlanChoice, SystemChoice, build_plan
from tests.plan_stock import TODAY

PLAN = build_plan()
TEST = PLAN.electrical_tests[0]


def _ohms(*numbers: float) -> list[Resistance]:
    return [read_quantity(f"{number} ohm", Resistance) for number in numbers]


def test_like_phases_are_in_balance() -> None:
    assert imbalance(_ohms(3, 3, 3)).si == 0


def test_dead_shorts_all_round_are_in_balance() -> None:
    assert imbalance(_ohms(0, 0, 0)).si == 0


def test_imbalance_is_the_greatest_deviation_over_the_mean() -> None:
    # Mean 3.1, farthest 3.3.
    share = imbalance(_ohms(3.0, 3.0, 3.3))

    assert in_unit(share, "%") == pytest.approx(100 * 0.2 / 3.1)


@pytest.mark.parametrize(
    ("readings", "standing"),
    [
        ((3.0, 3.02, 3.01), ReadingVerdict.IN_WINDOW),
        ((1.0, 1.0, 1.0), ReadingVerdict.IN_WINDOW),
        ((0.9, 3.0, 3.0), ReadingVerdict.BELOW_WINDOW),
        ((3.0, 3.0, 5.1), ReadingVerdict.ABOVE_WINDOW),
        ((3.0, 3.0, 3.3), ReadingVerdict.ABOVE_WINDOW),
    ],
)
def test_phases_pass_inside_their_window_and_in_balance(
    readings: tuple[float, ...], standing: ReadingVerdict
) -> None:
    verdict = phase_verdict(_ohms(*readings), TEST, PLAN.limits)

    assert verdict.standing is standing


def test_an_imbalance_is_told_with_its_limit() -> None:
    verdict = phase_verdict(_ohms(3.0, 3.0, 3.3), TEST, PLAN.limits)

    assert "6.5 % out of balance, 3 % is allowed" in verdict.text


def test_the_least_insulation_reading_counts() -> None:
    good = insulation_verdict(
        [read_quantity("900 Mohm", Resistance), read_quantity("500 Mohm", Resistance)], TEST
    )
    bad = insulation_verdict(
        [read_quantity("2 Gohm", Resistance), read_quantity("50 Mohm", Resistance)], TEST
    )

    assert good.passes
    assert bad.standing is ReadingVerdict.BELOW_WINDOW
    assert "50 Mohm to ground is below the limit, 500 Mohm" in bad.text


def test_a_single_system_needs_no_test_along_intermediate_tubing() -> None:
    plan = build_plan(PlanChoice((SystemChoice(),)))
    tests = tuple(test for test in plan.electrical_tests if test.moment is not TestMoment.ALONG_INTERMEDIATE)

    assert not list(check_moments(replace(plan, electrical_tests=tests), TODAY))
