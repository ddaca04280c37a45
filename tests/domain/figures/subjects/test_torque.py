"""Torque figures of a plan's connections and tools, and of what was applied in a run."""

from dataclasses import replace
from datetime import timedelta

import pytest

from app.domain.commands import Entered, FinishStep
from app.domain.connections import ToolKind
from app.domain.figures.subjects.basis import Subject
from app.domain.figures.subjects.every import every_figure, figures_outside
from app.domain.plan import Plan
from app.domain.quantities import Quantity, Ratio, length
from tests.domain import job
from tests.domain.checks.changes import change_connection, change_tool
from tests.domain.figures.subjects.figured import going, margin, of_subject, planned, worth
from tests.domain.job import TORQUE, do


def test_a_person_pulls_the_torque_by_the_arm() -> None:
    result = of_subject(planned(), Subject.TORQUE)["pull on T-WRENCH"]

    # 500 ft·lbf on 60 in are 100 lbf, all that one person gives.
    assert worth(result, "lbf") == pytest.approx(100.0)
    assert margin(result, "lbf") == pytest.approx(0.0, abs=1e-6)


def test_a_shorter_wrench_takes_more_than_one_person(plan: Plan) -> None:
    short = change_tool(plan, ToolKind.PIPE_WRENCH, arm=length(40, "in"))

    (figure,) = figures_outside(every_figure(planned(short), (Subject.TORQUE,)))

    assert worth(figure.result, "lbf") == pytest.approx(150.0)
    assert "2 people" in figure.result.advice
    assert figure.about == {"2-7/8 flush"}


def test_an_extension_lowers_what_the_wrench_is_set_to(plan: Plan) -> None:
    longer = change_tool(plan, ToolKind.TORQUE_WRENCH, arm=length(18, "in"), extension=length(6, "in"))

    result = of_subject(planned(longer), Subject.TORQUE)["setting of T-TORQUE with its extension"]

    # 75 x 18 / (18 + 6); of the first connection by bolts.
    assert worth(result, "ft*lbf") == pytest.approx(56.25)


def test_bolts_carry_torque_by_nut_factor_and_size_at_target_and_high_limit() -> None:
    figures = of_subject(planned(), Subject.TORQUE)

    # 75 and 80 ft·lbf on half an inch with 0.20.
    assert worth(figures["pull in each bolt at the target"], "lbf") == pytest.approx(9000.0)
    assert worth(figures["pull in each bolt at the high limit"], "lbf") == pytest.approx(9600.0)


@pytest.mark.parametrize("written", [{"bolt_size": length(0, "in")}, {"nut_factor": Ratio(0.0)}])
def test_bolts_of_no_size_or_factor_have_no_figure(plan: Plan, written: dict[str, Quantity]) -> None:
    unfit = change_connection(plan, "housing flange", **written)

    groups = {
        figure.group
        for figure in every_figure(planned(unfit), (Subject.TORQUE,))
        if figure.result.name.startswith("pull in each bolt")
    }

    assert groups == {"connection discharge head flange"}


def test_a_tool_out_of_date_on_the_day_is_outside(plan: Plan) -> None:
    late = change_tool(plan, ToolKind.TONG, due=job.START.date() - timedelta(days=3))

    result = of_subject(planned(late), Subject.TORQUE)["calibration left of T-TONG"]

    assert worth(result, "day") == pytest.approx(-3.0)
    assert result.is_outside


def test_what_was_applied_stands_under_its_stage_with_its_step() -> None:
    tried = do(
        job.before(TORQUE),
        FinishStep(TORQUE, (Entered("torque", "400", "ft*lbf", "T-WRENCH", confirmed=True),)),
    )

    (figure,) = [
        figure
        for figure in figures_outside(every_figure(going(tried), (Subject.TORQUE,)))
        if figure.result.name == "torque"
    ]

    assert figure.step == TORQUE
    assert margin(figure.result, "ft*lbf") == pytest.approx(-50.0)
    assert figure.group == "applied in Pump system: bypass leg"


def test_a_bolt_without_a_size_has_no_pull(plan: Plan) -> None:
    bare = replace(
        plan, connection_types=tuple(replace(kind, bolt_size=None) for kind in plan.connection_types)
    )

    assert not [name for name in of_subject(planned(bare), Subject.TORQUE) if "each bolt" in name]
