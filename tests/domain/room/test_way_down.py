"""The way of the hole where it begins, where it ends, and where a survey is out of order."""

import math

import pytest

from app.domain.quantities import Angle, Length
from app.domain.room.way_down import STRAIGHT_DOWN, way_down
from app.domain.well import SurveyPoint


def station(depth_m: float, lean_deg: float) -> SurveyPoint:
    return SurveyPoint(Length(depth_m), Angle(math.radians(lean_deg)), Angle(0.0))


def test_without_a_survey_the_hole_goes_straight_down() -> None:
    way = way_down(())

    assert way.is_straight_down
    assert way.down(Length(1234.5)) == Length(1234.5)
    assert way.direction(Length(1234.5)) == STRAIGHT_DOWN


def test_over_its_first_station_the_hole_goes_straight_down_and_under_its_last_straight_on() -> None:
    way = way_down((station(100, 60), station(200, 60)))

    assert not way.is_straight_down
    assert [way.down(Length(depth)).si for depth in (-3.0, 50.0, 100.0, 150.0, 200.0, 1000.0)] == (
        pytest.approx([-3, 50, 100, 125, 150, 550])
    )
    assert way.direction(Length(99.0)) == STRAIGHT_DOWN
    assert way.direction(Length(1000.0)).down == pytest.approx(0.5)


def test_the_direction_turns_evenly_from_one_station_to_the_next() -> None:
    way = way_down((station(0, 0), station(90, 45)))

    found = [way.direction(Length(depth)) for depth in (0.0, 30.0, 60.0, 90.0)]

    assert [math.degrees(math.acos(one.down)) for one in found] == pytest.approx([0, 15, 30, 45], abs=1e-6)
    assert [math.hypot(one.north, one.east, one.down) for one in found] == pytest.approx([1] * 4)


def test_a_station_that_goes_no_deeper_does_not_count() -> None:
    ordered = (station(0, 0), station(300, 20), station(400, 30))
    disordered = (ordered[0], ordered[1], station(200, 89), station(300, 5), ordered[2])

    assert way_down(disordered) == way_down(ordered)
