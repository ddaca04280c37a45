"""How far a sum of measured lengths may be off when each of them may be."""

import math
from collections.abc import Sequence

from app.domain.quantities import NO_LENGTH, Length, length, total

# Common practice: joints are tallied to the hundredth of a foot. A plan may name its own.
LENGTH_TOLERANCE = length(0.01, "ft")


def worst_case(tolerances: Sequence[Length]) -> Length:
    """Return how far a sum is off when every length is off the same way [m].

    Sum of t. Source: arithmetic of tolerances. Range: any.
    """
    return total(Length, tolerances)


def root_sum_square(tolerances: Sequence[Length]) -> Length:
    """Return how far a sum is likely off when each length is off by chance [m].

    Square root of the sum of t^2. Source: statistics of independent errors. Range: lengths measured
    one by one; a tape that is wrong makes all wrong the same way.
    """
    return Length(math.hypot(*(tolerance.si for tolerance in tolerances))) if tolerances else NO_LENGTH
