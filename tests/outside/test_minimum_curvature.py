"""Doglegs by minimum curvature against a published example, and stiff lengths worked out by hand.

The example, 15° at 20° to 25° at 45° in 100 ft, is printed by a public site on drilling formulas after a
handbook of such formulas; two general trajectory libraries agree with it, and scipy, which goes along the
bend step by step. For stiff lengths no published table was found: the rows were worked out from the formula,
and shapely lays the box into a drawn bore.
"""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
import shapely
from scipy.integrate import quad_vec
from scipy.spatial.transform import Rotation

from app.domain.quantities import Angle, in_unit, length
from app.domain.room.bends import ENDLESS, bends, dogleg, longest_rigid
from app.domain.well import SurveyPoint

PRINTED_DEG = 0.005
PRINTED_FT = 0.006
FT_AT_ONE_DEG = 5729.578  # radius of the hole where it bends by one degree in a hundred feet

# Degrees in a hundred feet, and the length of 8.275 in that passes a drift of 8.525 in [ft].
STIFF = ((1, 30.90), (2, 21.85), (2.4, 19.95), (3, 17.84), (5, 13.82), (6, 12.62), (10, 9.77))


def _station(depth_ft: float, inclination_deg: float, azimuth_deg: float) -> SurveyPoint:
    return SurveyPoint(
        length(depth_ft, "ft"), Angle(math.radians(inclination_deg)), Angle(math.radians(azimuth_deg))
    )


def test_the_printed_example() -> None:
    angle = dogleg(_station(3500, 15, 20), _station(3600, 25, 45))

    assert in_unit(angle, "deg") == pytest.approx(12.95, abs=PRINTED_DEG)


def test_going_along_the_bend_comes_to_the_printed_place() -> None:
    # North, east and down as printed; its printed ratio factor, 1.00408, is a slip of its own for 1.00428.
    upper, lower = _station(3500, 15, 20), _station(3600, 25, 45)
    (bend,) = bends((upper, lower))

    way = _way_along(_direction(upper), _direction(lower), in_unit(bend.radius, "ft"))

    place, _ = quad_vec(way, 0.0, 100.0)
    assert way(100.0) == pytest.approx(_direction(lower), abs=1e-12)
    assert place == pytest.approx([27.22, 19.45, 94.01], abs=PRINTED_FT)


@pytest.mark.parametrize("turn", [(2, 10, 3, 250), (0.1, 0, 0.1, 0.5), (89, 10, 91, 10), (60, 350, 62, 20)])
def test_the_dogleg_is_the_turn_that_scipy_finds(turn: tuple[float, float, float, float]) -> None:
    upper, lower = _station(0, *turn[:2]), _station(100, *turn[2:])

    angle = dogleg(upper, lower)

    axis = np.cross(_direction(upper), _direction(lower))
    turned = Rotation.from_rotvec(axis / np.linalg.norm(axis) * angle.si).apply(_direction(upper))
    assert turned == pytest.approx(_direction(lower), abs=1e-12)


def test_three_degrees_in_a_hundred_feet_are_a_radius_of_1910_feet() -> None:
    (bend,) = bends((_station(0, 0, 0), _station(100, 3, 0)))

    assert in_unit(bend.radius, "ft") == pytest.approx(1909.86, abs=PRINTED_FT)


@pytest.mark.parametrize(("deg_per_100_ft", "longest_ft"), STIFF)
def test_what_passes_a_bent_drift_unbent(deg_per_100_ft: float, longest_ft: float) -> None:
    radius = length(FT_AT_ONE_DEG / deg_per_100_ft, "ft")

    longest = longest_rigid(length(8.525, "in"), length(8.275, "in"), radius)

    assert in_unit(longest, "ft") == pytest.approx(longest_ft, abs=PRINTED_FT)


def test_a_slimmer_casing_lets_less_pass() -> None:
    longest = longest_rigid(length(6.059, "in"), length(5.62, "in"), length(FT_AT_ONE_DEG / 2, "ft"))

    assert in_unit(longest, "ft") == pytest.approx(28.96, abs=PRINTED_FT)


def test_a_box_of_the_longest_length_just_touches_the_bend_on_both_sides() -> None:
    # Drawn out: the far corners lie on the outer wall while the middle lies on the inner one.
    bore, width, radius = length(8.525, "in"), length(8.275, "in"), length(1909.86, "ft")

    half_m = longest_rigid(bore, width, radius).si / 2

    corner_m = math.hypot(half_m, radius.si - bore.si / 2 + width.si)
    assert corner_m == pytest.approx(radius.si + bore.si / 2, rel=1e-12)


@pytest.mark.parametrize(
    ("bore_in", "width_in", "deg_per_100_ft"),
    [(8.525, 8.275, 3), (8.525, 8.275, 10), (8.525, 5.40, 2.4), (6.059, 5.62, 2), (12.259, 9.068, 6)],
)
def test_a_box_laid_into_a_drawn_bend_fits_up_to_the_longest_length(
    bore_in: float, width_in: float, deg_per_100_ft: float
) -> None:
    bore_ft, width_ft, radius_ft = bore_in / 12, width_in / 12, FT_AT_ONE_DEG / deg_per_100_ft

    longest = longest_rigid(length(bore_in, "in"), length(width_in, "in"), length(radius_ft, "ft"))

    longest_ft = in_unit(longest, "ft")
    drawn = _drawn_bend(bore_ft, radius_ft, longest_ft)
    assert _fits_somewhere(drawn, bore_ft, width_ft, radius_ft, 0.9995 * longest_ft)
    assert not _fits_somewhere(drawn, bore_ft, width_ft, radius_ft, 1.0005 * longest_ft)


def test_in_a_straight_hole_any_length_passes_and_nothing_wider_than_the_bore_does() -> None:
    assert longest_rigid(length(8.5, "in"), length(8, "in"), ENDLESS) == ENDLESS
    assert longest_rigid(length(8.5, "in"), length(9, "in"), ENDLESS).si == 0


def _direction(station: SurveyPoint) -> Any:
    """Return north, east and down of the direction of the hole at a station."""
    rise, turn = station.inclination.si, station.azimuth.si
    return np.array([math.sin(rise) * math.cos(turn), math.sin(rise) * math.sin(turn), math.cos(rise)])


def _way_along(start: Any, end: Any, radius_ft: float) -> Callable[[float], Any]:
    """Return the direction after so many feet of an even bend from one direction towards another."""
    axis = np.cross(start, end)
    axis = axis / np.linalg.norm(axis)
    return lambda run_ft: Rotation.from_rotvec(axis * run_ft / radius_ft).apply(start)


def _drawn_bend(bore_ft: float, radius_ft: float, long_ft: float) -> Any:
    """Return a bend in its plane, twice as long as a box, drawn in steps too short to matter."""
    angles = np.linspace(-long_ft / radius_ft, long_ft / radius_ft, 40_001)
    walls = [
        np.column_stack([wall_ft * np.sin(angles), wall_ft * np.cos(angles)])
        for wall_ft in (radius_ft - bore_ft / 2, radius_ft + bore_ft / 2)
    ]
    drawn = shapely.Polygon(np.concatenate([walls[0], walls[1][::-1]]))
    shapely.prepare(drawn)
    return drawn


def _fits_somewhere(drawn: Any, bore_ft: float, width_ft: float, radius_ft: float, long_ft: float) -> bool:
    """Return whether a box lies in the bend, as near to the inner wall as can be or farther out."""
    inner_ft, hair_ft = radius_ft - bore_ft / 2, 1e-9
    return any(
        drawn.contains(
            shapely.box(-long_ft / 2, inner_ft + off_ft, long_ft / 2, inner_ft + off_ft + width_ft)
        )
        for off_ft in np.linspace(hair_ft, bore_ft - width_ft, 50)
    )
