"""Bends of the hole: small angles keep their digits, straight stretches have no radius."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.quantities import Angle, length
from app.domain.room.bends import ENDLESS, bends, dogleg, longest_rigid
from app.domain.well import SurveyPoint

ANGLES = st.floats(0.0, math.pi / 2)
TURNS = st.floats(0.0, 2 * math.pi)


def _station(depth_m: float, inclination: float, azimuth: float) -> SurveyPoint:
    return SurveyPoint(length(depth_m, "m"), Angle(inclination), Angle(azimuth))


@given(ANGLES, TURNS, ANGLES, TURNS)
def test_the_dogleg_is_the_angle_between_both_directions(
    rise: float, turn: float, next_rise: float, next_turn: float
) -> None:
    one, other = _station(0, rise, turn), _station(30, next_rise, next_turn)

    angle = dogleg(one, other)

    cosine = sum(a * b for a, b in zip(_direction(rise, turn), _direction(next_rise, next_turn), strict=True))
    assert math.cos(angle.si) == pytest.approx(cosine, abs=1e-12)
    assert dogleg(other, one).si == pytest.approx(angle.si, abs=1e-12)


def test_a_very_small_dogleg_keeps_its_digits() -> None:
    assert dogleg(_station(0, 0.1, 1.0), _station(30, 0.1 + 1e-8, 1.0)).si == pytest.approx(1e-8, rel=1e-6)


def test_stations_in_wrong_order_make_no_bend() -> None:
    assert bends((_station(30, 0.1, 0), _station(10, 0.2, 0))) == ()
    assert bends((_station(30, 0.1, 0), _station(60, 0.1, 0)))[0].radius == ENDLESS


@given(st.floats(0.05, 0.2), st.floats(0.0, 0.05), st.floats(50, 5000))
def test_a_wider_or_sharper_way_round_lets_less_pass(width_m: float, room_m: float, radius_m: float) -> None:
    bore = length(width_m + room_m, "m")

    longest = longest_rigid(bore, length(width_m, "m"), length(radius_m, "m"))

    wider = longest_rigid(bore, length(min(width_m + 0.001, bore.si), "m"), length(radius_m, "m"))
    sharper = longest_rigid(bore, length(width_m, "m"), length(radius_m / 2, "m"))
    assert wider.si <= longest.si * (1 + 1e-9)
    assert sharper.si <= longest.si * (1 + 1e-9)


def _direction(rise: float, turn: float) -> tuple[float, float, float]:
    return (math.sin(rise) * math.cos(turn), math.sin(rise) * math.sin(turn), math.cos(rise))
