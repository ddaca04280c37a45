"""How loose members settle: nothing lies on anything else, the bore is as narrow as can be shown."""

import math
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.room.enclosing import Circle, reach_m
from app.domain.room.outlines import Outline
from app.domain.room.settling import Settled, settle_beside, settle_round

LEGS_M = st.floats(0.02, 0.2)
HAIR_M = 1e-8
BORE = Circle(0.0, 0.0, 0.0)


def _round(diameter_m: float) -> Outline:
    return Outline(diameter_m, diameter_m)


SMALL = st.builds(_round, st.floats(0.003, 0.06)) | st.builds(
    lambda thickness_m, wider_m: Outline(thickness_m + wider_m, thickness_m),
    st.floats(0.005, 0.02),
    st.floats(0.0, 0.04),
)
MANY = st.lists(SMALL, min_size=0, max_size=4).map(tuple)


def _gap_m(one: tuple[Circle, ...], other: tuple[Circle, ...]) -> float:
    """Return the distance between two hulls of circles, by trying points along the axis of each."""
    points = [
        (start.x_m + share * (end.x_m - start.x_m), start.y_m + share * (end.y_m - start.y_m), start.radius_m)
        for start, end in ((one[0], one[-1]),)
        for share in (step / 200 for step in range(201))
    ]
    return min(_from_axis_m(x_m, y_m, other) - radius_m - other[0].radius_m for x_m, y_m, radius_m in points)


def _from_axis_m(x_m: float, y_m: float, hull: tuple[Circle, ...]) -> float:
    start, end = hull[0], hull[-1]
    along_x, along_y = end.x_m - start.x_m, end.y_m - start.y_m
    square = along_x**2 + along_y**2
    share = 0.0 if square == 0.0 else ((x_m - start.x_m) * along_x + (y_m - start.y_m) * along_y) / square
    share = min(1.0, max(0.0, share))
    return math.hypot(x_m - start.x_m - share * along_x, y_m - start.y_m - share * along_y)


def _assert_lies_well(settled: Settled) -> None:
    hulls = (*((leg,) for leg in settled.legs), *settled.small)
    for hull in hulls:
        assert all(reach_m(BORE, circle) <= settled.radius_m + HAIR_M for circle in hull)
    for one, other in combinations(hulls, 2):
        assert _gap_m(one, other) >= -HAIR_M


@given(LEGS_M, LEGS_M, MANY)
@settings(max_examples=80, deadline=None)
def test_nothing_overlaps_and_nothing_stands_out(
    first_m: float, second_m: float, small: tuple[Outline, ...]
) -> None:
    settled = settle_beside(_round(first_m), _round(second_m), small)

    _assert_lies_well(settled)
    assert settled.radius_m >= (first_m + second_m) / 2 - HAIR_M


@given(LEGS_M, LEGS_M, MANY, st.floats(0.0, 0.05))
@settings(max_examples=80, deadline=None)
def test_legs_in_a_clamp_stay_as_far_apart_as_it_holds_them(
    first_m: float, second_m: float, small: tuple[Outline, ...], gap_m: float
) -> None:
    apart_m = (first_m + second_m) / 2 + gap_m

    settled = settle_beside(_round(first_m), _round(second_m), small, apart_m)

    _assert_lies_well(settled)
    first, second = settled.legs
    assert math.hypot(second.x_m - first.x_m, second.y_m - first.y_m) == pytest.approx(apart_m, abs=HAIR_M)


@given(LEGS_M, LEGS_M, MANY, st.floats(0.0, 0.03))
@settings(max_examples=40, deadline=None)
def test_a_thicker_leg_never_needs_a_narrower_bore(
    first_m: float, second_m: float, small: tuple[Outline, ...], more_m: float
) -> None:
    thin = settle_beside(_round(first_m), _round(second_m), small)
    thick = settle_beside(_round(first_m + more_m), _round(second_m), small)

    assert thick.radius_m >= thin.radius_m - HAIR_M


@given(LEGS_M, LEGS_M, st.floats(0.003, 0.2))
@settings(max_examples=80, deadline=None)
def test_a_third_round_body_fits_the_pocket_or_touches_both_legs(
    first_m: float, second_m: float, third_m: float
) -> None:
    large, middle, least = sorted((first_m / 2, second_m / 2, third_m / 2), reverse=True)
    pocket_m = large * middle * (large + middle) / (large**2 + large * middle + middle**2)

    settled = settle_beside(_round(2 * large), _round(2 * middle), (_round(2 * least),))

    if least <= pocket_m:
        assert settled.radius_m == pytest.approx(large + middle)
        assert not settled.is_pushed_apart
    else:
        bends = 1 / large + 1 / middle + 1 / least
        cross = 1 / (large * middle) + 1 / (middle * least) + 1 / (least * large)
        assert settled.radius_m == pytest.approx(1 / (2 * math.sqrt(cross) - bends), rel=1e-7)


def test_cables_and_line_lie_in_the_pockets_of_usual_legs() -> None:
    flat, line = Outline(1.02, 0.37), _round(0.375)

    settled = settle_beside(_round(5.40), _round(2.875), (flat, flat, line))

    assert 2 * settled.radius_m == pytest.approx(8.275)


def test_two_large_members_share_the_pockets() -> None:
    # Each alone fills most of a pocket, 2.426 across; two beside each other would not go into one.
    settled = settle_beside(_round(5.40), _round(2.875), (_round(2.3), _round(2.3)))

    assert 2 * settled.radius_m == pytest.approx(8.275)
    assert settled.small[0][0].y_m * settled.small[1][0].y_m < 0


def test_strapped_to_a_tube_two_cables_lie_on_opposite_sides() -> None:
    (one,), (other,) = settle_round(_round(4.0), (_round(0.5), _round(0.5)))

    assert (one.x_m, other.x_m) == pytest.approx((2.25, -2.25))


def test_more_small_members_than_are_tried_in_every_order_still_lie_well() -> None:
    settled = settle_beside(_round(0.1), _round(0.06), (_round(0.02),) * 6)

    _assert_lies_well(settled)
