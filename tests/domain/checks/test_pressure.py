"""The fall of a line test and the verdict on it."""

import pytest

from app.domain.checks.pressure import check_line_tests, fall, pressure_verdict
from app.domain.install_record import ReadingVerdict
from app.domain.quantities import Duration, Pressure, in_unit, read_quantity
from tests.plan_builder import PlanChoice, SystemChoice, build_plan
from tests.plan_stock import TODAY

LINE = build_plan().systems[0].line
assert LINE is not None
TEST = LINE.test  # 5000 psi, 10 min, 2 %


def _psi(number: float) -> Pressure:
    return read_quantity(f"{number} psi", Pressure)


def _minutes(number: float) -> Duration:
    return read_quantity(f"{number} min", Duration)


def test_the_fall_is_a_share_of_the_start() -> None:
    assert in_unit(fall(_psi(5000), _psi(4900)), "%") == pytest.approx(2)


def test_a_rise_is_a_fall_below_nothing() -> None:
    assert in_unit(fall(_psi(5000), _psi(5050)), "%") == pytest.approx(-1)


@pytest.mark.parametrize(
    ("start", "end", "held", "standing", "words"),
    [
        (5000, 4950, 10, ReadingVerdict.IN_WINDOW, "It fell 1.0 % in 10 min"),
        (5000, 4900, 10, ReadingVerdict.IN_WINDOW, "It fell 2.0 %"),
        (5100, 5150, 12, ReadingVerdict.IN_WINDOW, "It rose 1.0 %"),
        (4900, 4900, 10, ReadingVerdict.BELOW_WINDOW, "pump up"),
        (5000, 5000, 9, ReadingVerdict.BELOW_WINDOW, "held 9 min of the 10 min"),
        (5000, 4800, 10, ReadingVerdict.BELOW_WINDOW, "look for the leak"),
        (5000, 5200, 10, ReadingVerdict.ABOVE_WINDOW, "the line warms"),
    ],
)
def test_a_line_passes_when_full_pressure_stays_for_the_whole_hold(
    start: float, end: float, held: float, standing: ReadingVerdict, words: str
) -> None:
    verdict = pressure_verdict(_psi(start), _psi(end), _minutes(held), TEST)

    assert verdict.standing is standing
    assert words in verdict.text


def test_a_system_without_a_line_has_no_line_test_to_judge() -> None:
    plan = build_plan(PlanChoice((SystemChoice(gauge=False),)))

    assert not list(check_line_tests(plan, TODAY))
