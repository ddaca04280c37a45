"""The pull of tightened bolts against a published table of SAE J429 bolts."""

import pytest

from app.domain.figures.torque import NUT_FACTOR, preload
from app.domain.quantities import in_unit, length, torque


@pytest.mark.parametrize(
    ("foot_pounds", "pounds"),
    [
        # 1/2-13, grade 2, at 75 % of proof: the table prints 48.8 ft*lbf and 5853 lbf.
        (48.8, 5853),
        # 1/2-13, grade 5, at 75 % of proof: 75.4 ft*lbf and 9046 lbf, worked out by hand the same way.
        (75.4, 9046),
    ],
)
def test_a_half_inch_bolt_with_a_nut_factor_of_a_fifth(foot_pounds: float, pounds: float) -> None:
    pull = preload(torque(foot_pounds, "ft*lbf"), length(0.5, "in"), NUT_FACTOR)

    assert in_unit(pull, "lbf") == pytest.approx(pounds, rel=0.001)
