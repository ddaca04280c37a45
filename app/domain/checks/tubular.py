"""Pipe sizes: inside diameter, plain-end weight, and the drift that API 5CT demands."""

from app.domain.quantities import Length, LinearMass, in_unit, length

# Drift allowances by outside diameter, largest size of each step, API 5CT.
CASING_STEPS: tuple[tuple[Length, Length], ...] = (
    (length(8.625, "in"), length(1 / 8, "in")),
    (length(13.375, "in"), length(5 / 32, "in")),
)
CASING_OVER = length(3 / 16, "in")
TUBING_STEPS: tuple[tuple[Length, Length], ...] = ((length(2.875, "in"), length(3 / 32, "in")),)
TUBING_OVER = length(1 / 8, "in")
SAME_SIZE = length(0.001, "in")  # sizes are printed to a thousandth of an inch


def inside_diameter(od: Length, wall: Length) -> Length:
    """Return outside diameter less two walls [m].

    Source: API 5CT. Range: a wall thinner than half the diameter.
    """
    return od - wall * 2.0


def plain_end_weight(od: Length, wall: Length) -> LinearMass:
    """Return the weight of pipe body without threads or coupling [kg/m].

    0.0246615 (D - t) t, in mm. Source: API 5CT, annex on plain-end mass. Range: any pipe of carbon steel.
    """
    od_mm, wall_mm = in_unit(od, "mm"), in_unit(wall, "mm")
    return LinearMass(0.0246615 * (od_mm - wall_mm) * wall_mm)


def casing_drift(od: Length, inside: Length) -> Length:
    """Return the standard drift diameter of casing [m].

    Source: API 5CT: 1/8 in under 9 5/8 in, 5/32 in to 13 3/8 in, 3/16 in over that. Range: casing sizes.
    """
    return inside - _allowance(od, CASING_STEPS, CASING_OVER)


def tubing_drift(od: Length, inside: Length) -> Length:
    """Return the standard drift diameter of tubing [m].

    Source: API 5CT: 3/32 in to 2 7/8 in, 1/8 in over that. Range: tubing sizes.
    """
    return inside - _allowance(od, TUBING_STEPS, TUBING_OVER)


def _allowance(od: Length, steps: tuple[tuple[Length, Length], ...], over: Length) -> Length:
    return next((allowance for largest, allowance in steps if od <= largest + SAME_SIZE), over)
