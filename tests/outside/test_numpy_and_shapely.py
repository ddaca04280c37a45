"""What is plain arithmetic or geometry, with numpy, scipy and shapely as second witnesses."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from scipy import constants

from app.domain.at_step.hook_load import immersed_ratio
from app.domain.checks.lengthening import pull_of, temperature_at
from app.domain.checks.tolerances import root_sum_square, worst_case
from app.domain.quantities import Length, Temperature, in_unit, length, mass, read_quantity
from tests.plan_builder import build_plan

THOUSANDTHS = (0.01, 0.01, 0.02, 0.005)


def test_a_weight_pulls_as_scipy_has_the_pound_force() -> None:
    assert pull_of(mass(1000, "lb")).si == pytest.approx(1000 * constants.lbf, rel=1e-12)
    assert pull_of(mass(1, "t")).si == pytest.approx(constants.metric_ton * constants.g, rel=1e-12)


@pytest.mark.parametrize("feet", [-10, 0, 1500, 3000, 6000, 6500])
def test_the_well_warms_along_the_line_that_numpy_draws(feet: float) -> None:
    well = replace(
        build_plan().well,
        setting_depth=length(6000, "ft"),
        surface_temperature=read_quantity("15 degC", Temperature),
        setting_temperature=read_quantity("75 degC", Temperature),
    )

    there = temperature_at(well, length(feet, "ft"))

    assert in_unit(there, "degC") == pytest.approx(np.interp(feet, [0, 6000], [15, 75]))


def test_errors_add_up_as_numpy_adds_them() -> None:
    tolerances = [length(feet, "ft") for feet in THOUSANDTHS]

    assert in_unit(worst_case(tolerances), "ft") == pytest.approx(np.sum(THOUSANDTHS))
    assert in_unit(root_sum_square(tolerances), "ft") == pytest.approx(np.linalg.norm(THOUSANDTHS))


def test_errors_by_chance_spread_as_their_root_sum_square() -> None:
    spread = np.random.default_rng(5).normal(0.0, THOUSANDTHS, (200_000, 4)).sum(axis=1).std()

    likely = root_sum_square([length(feet, "ft") for feet in THOUSANDTHS])

    assert in_unit(likely, "ft") == pytest.approx(spread, rel=0.01)


@pytest.mark.parametrize(("top_m", "long_m"), [(-3, 9), (0, 10), (15, 10), (21, 3), (95, 20)])
def test_as_much_is_under_the_fluid_as_shapely_cuts_off(top_m: float, long_m: float) -> None:
    pipe, fluid = shapely.box(0, top_m, 1, top_m + long_m), shapely.box(-1, 20, 2, 1000)

    under = immersed_ratio(Length(top_m), Length(long_m), Length(20.0))

    assert under == pytest.approx(pipe.intersection(fluid).area / pipe.area)
