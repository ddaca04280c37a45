"""Figures of a string of two systems, which the small demonstration does not have."""

import pytest

from app.domain.checks.tally import datum_depths
from app.domain.figures.subjects.basis import Basis, Subject, basis_of_plan
from app.domain.figures.subjects.every import every_figure
from tests.domain import job
from tests.domain.at_step.shifts import double
from tests.domain.figures.subjects.figured import of_subject, worth


def two_systems() -> Basis:
    return basis_of_plan(*double(), job.START)


def test_a_support_clamp_is_told_by_the_joint_of_its_mark() -> None:
    plan, _ = double()
    lower, upper = plan.systems
    assert upper.support_clamp is not None
    name = f"{upper.support_clamp.type} at the mark: below the top of {upper.datum.joint}"

    figures = of_subject(two_systems(), Subject.STATIONS)

    assert worth(figures[name], "ft") == pytest.approx(worth_ft(upper.datum.below_top.si))
    assert not any(f"at the mark: below the top of {lower.datum.joint}" in name for name in figures)
    (figure,) = (
        item for item in every_figure(two_systems(), (Subject.STATIONS,)) if item.result.name == name
    )
    assert upper.datum.joint in figure.about


def worth_ft(metres: float) -> float:
    return metres / 0.3048


def test_the_tubing_between_the_systems_weighs_its_length_times_its_weight_a_foot() -> None:
    plan, _ = double()
    below = plan.systems[1].tubing_below
    assert below is not None
    run_m = sum(joint.length.si for joint in below.joints)

    figures = of_subject(two_systems(), Subject.LOADS)

    air = figures["weight of tubing below system 2 in air"]
    assert air.value.si == pytest.approx(run_m * below.weight.si)
    assert figures["weight of tubing below system 2 buoyed, all of it under the fluid"].value < air.value


def test_each_system_has_its_mark_the_upper_one_less_deep() -> None:
    plan, _ = double()

    figures = of_subject(two_systems(), Subject.TALLY)

    lower, upper = (
        figures[f"mark of system {system.name}, where both legs are fixed"] for system in plan.systems
    )
    assert upper.value < lower.value
    assert [lower.value.si, upper.value.si] == pytest.approx(
        [depth.si for depth in datum_depths(plan).values()]
    )
