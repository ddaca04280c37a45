"""Unbalance against worked examples of the NEMA MG-1 form, as printed in public texts.

The examples are voltages; the form is one of shares, so their numbers serve as resistances.
"""

import pytest

from app.domain.figures.electrical import imbalance
from app.domain.quantities import Resistance, in_unit

EXAMPLES = (
    ((462, 463, 455), 1.1, 0.05),
    ((480, 476, 472), 0.84, 0.005),
    ((460, 467, 450), 1.96, 0.005),
    # Printed as 2.5 from a mean rounded to 208; exact is 2.56.
    ((203, 210, 212), 2.56, 0.005),
)


@pytest.mark.parametrize(("readings", "printed", "rounding"), EXAMPLES)
def test_unbalance_is_as_printed(readings: tuple[float, ...], printed: float, rounding: float) -> None:
    share = imbalance([Resistance(reading) for reading in readings])

    assert in_unit(share, "%") == pytest.approx(printed, abs=rounding)


def test_unbalance_is_not_the_spread_over_the_mean() -> None:
    share = imbalance([Resistance(462), Resistance(463), Resistance(455)])

    assert in_unit(share, "%") < 100 * (463 - 455) / 460
