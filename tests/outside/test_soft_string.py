"""A string on the wall of an inclined hole, against textbook mechanics, a printed survey and scipy.

The soft string is that of Johancsik, Friesen and Dawson, Torque and Drag in Directional Wells, J. Petroleum
Technology, June 1984: its abstract was read, with friction of 0.25 to 0.40 in water-base mud; the formula,
F + W cos I with N² = (F dA sin I)² + (F dI + W sin I)², is from memory. The body on an incline and the rope
round a post (Euler, Eytelwein) stand in any textbook of statics.
"""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from app.domain.at_step.drag import Piece, leaning
from app.domain.quantities import Angle, Length, in_unit, length
from app.domain.room.bends import dogleg
from app.domain.room.way_down import WayDown, fall, way_down
from app.domain.well import SurveyPoint

PRINTED_FT = 0.006
LEANS = st.floats(0.0, math.radians(100))
TURNS = st.floats(0.0, 2 * math.pi)


def _station(depth_m: float, lean: float, turn: float = 0.0) -> SurveyPoint:
    return SurveyPoint(Length(depth_m), Angle(lean), Angle(turn))


def _pieces(top_m: float, base_m: float, count: int, kg_per_m: float) -> list[Piece]:
    long_m = (base_m - top_m) / count
    return [Piece(top_m + long_m * place, long_m, kg_per_m * long_m) for place in range(count)]


def _pulls_kg(pieces: list[Piece], way: WayDown, friction: float) -> float:
    """Return what pulls at the top of pieces that go in [kg]."""
    found = leaning(pieces, way, friction)
    return sum(piece.wet_kg for piece in pieces) - found.on_wall_kg - found.drag_kg


def test_the_printed_survey_goes_as_far_down_as_is_printed() -> None:
    # The example of tests/outside/test_minimum_curvature: 94.01 ft of a hundred.
    deg = math.radians(1)
    upper = SurveyPoint(length(3500, "ft"), Angle(15 * deg), Angle(20 * deg))
    lower = SurveyPoint(length(3600, "ft"), Angle(25 * deg), Angle(45 * deg))

    way = way_down((upper, lower))

    gone = way.down(length(3600, "ft")) - way.down(length(3500, "ft"))
    assert in_unit(gone, "ft") == pytest.approx(94.01, abs=PRINTED_FT)


@given(LEANS, TURNS, LEANS, TURNS, st.floats(0.001, 1.0))
@settings(max_examples=60, deadline=None)
def test_how_far_down_an_arc_goes_is_the_sum_of_its_directions(
    lean: float, turn: float, then_lean: float, then_turn: float, share: float
) -> None:
    upper, lower = _station(0, lean, turn), _station(100, then_lean, then_turn)
    way = way_down((upper, lower))

    summed, _ = quad(lambda at_m: way.direction(Length(at_m)).down, 0.0, 100.0 * share)

    assert fall(way.stretches[0], Length(100.0 * share)).si == pytest.approx(summed, abs=1e-6)


@given(LEANS, TURNS, LEANS, TURNS)
@settings(max_examples=60, deadline=None)
def test_a_whole_arc_goes_as_far_as_the_ratio_factor_says(
    lean: float, turn: float, then_lean: float, then_turn: float
) -> None:
    upper, lower = _station(0, lean, turn), _station(100, then_lean, then_turn)
    bend = dogleg(upper, lower).si
    factor = math.tan(bend / 2) / (bend / 2) if bend > 1e-6 else 1.0

    gone = way_down((upper, lower)).down(Length(100.0))

    assert gone.si == pytest.approx(50.0 * (math.cos(lean) + math.cos(then_lean)) * factor, abs=1e-6)


@pytest.mark.parametrize("lean_deg", [0, 30, 60, 85])
@pytest.mark.parametrize("friction", [0.0, 0.25, 0.4])
def test_on_an_even_incline_friction_takes_its_share_of_what_presses(lean_deg: int, friction: float) -> None:
    lean = math.radians(lean_deg)
    way = way_down((_station(0, lean),))

    pulls_kg = _pulls_kg(_pieces(100, 400, 30, 10.0), way, friction)

    slides = math.cos(lean) - friction * math.sin(lean)
    assert pulls_kg == pytest.approx(3000 * max(slides, 0.0), abs=1e-6)


@pytest.mark.parametrize(("bend_deg", "friction"), [(30, 0.25), (60, 0.3), (90, 0.4)])
def test_a_weightless_rope_round_a_bend_loses_as_round_a_post(bend_deg: int, friction: float) -> None:
    # The load hangs straight down under a bend from the horizontal or less to straight down.
    bend = math.radians(bend_deg)
    way = way_down((_station(0, bend), _station(100, 0.0)))
    rope = _pieces(0, 100, 500, 0.0)

    pulls_kg = _pulls_kg([*rope, Piece(100, 10, 1000.0)], way, friction)

    assert pulls_kg == pytest.approx(1000 * math.exp(-friction * bend), rel=1e-3)


@pytest.mark.parametrize("friction", [0.0, 0.2, 0.35])
def test_a_string_in_a_building_hole_pulls_as_its_equation_says(friction: float) -> None:
    # Straight down to 1000 m, then building by 60 degrees over 600 m: inclination grows with the depth.
    way = way_down((_station(0, 0), _station(1000, 0), _station(1600, math.radians(60))))
    rate = math.radians(60) / 600

    def grows(up_m: float, pulled: list[float]) -> list[float]:
        lean = max((600.0 - up_m) * rate, 0.0)
        bent = rate if up_m < 600 else 0.0
        pressed = abs(pulled[0] * -bent + 10.0 * math.sin(lean))
        return [10.0 * math.cos(lean) - friction * pressed]

    solved = solve_ivp(grows, (0.0, 1600.0), [0.0], max_step=1.0, rtol=1e-8)

    pulls_kg = _pulls_kg(_pieces(0, 1600, 160, 10.0), way, friction)
    assert pulls_kg == pytest.approx(solved.y[0][-1], rel=2e-4)


def test_turning_at_one_inclination_presses_as_the_formula_says() -> None:
    # One short piece with a load under it: N² = (F dA sin I)² + (F dI + W sin I)² with dI nothing.
    lean, turned, friction = math.radians(50), math.radians(0.2), 0.3
    way = way_down((_station(0, lean, 0), _station(10, lean, turned)))
    load = Piece(10, 1e-6, 5000.0)

    pulls_kg = _pulls_kg([Piece(0, 10, 100.0), load], way, friction)

    below_kg = 5000.0 * (math.cos(lean) - friction * math.sin(lean))
    pressed_kg = math.hypot(below_kg * turned * math.sin(lean), 100.0 * math.sin(lean))
    assert pulls_kg == pytest.approx(below_kg + 100 * math.cos(lean) - friction * pressed_kg, rel=1e-4)
