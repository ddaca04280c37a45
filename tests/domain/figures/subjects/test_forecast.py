"""Forecast figures against the forecast itself and rates added up by hand."""

from dataclasses import replace

import pytest

from app.domain.at_step.forecast import forecast
from app.domain.figures.subjects.basis import Subject, basis_of_plan
from app.domain.figures.subjects.every import every_figure
from app.domain.operations import Operation
from app.domain.plan import Plan
from app.domain.quantities import Duration, read_quantity
from app.domain.rates import Rate, Rates
from app.domain.sheet import Sheet
from tests.domain import job
from tests.domain.figures.subjects.figured import going, inputs, named, of_subject, planned, worth


def a_minute_each(plan: Plan) -> Plan:
    """Return the plan with a rate of a minute for every operation, and talks of ten."""
    minute = read_quantity("1 min", Duration)
    rates = tuple(Rate(operation, minute) for operation in Operation)
    return replace(plan, rates=Rates(talk=read_quantity("10 min", Duration), operations=rates))


def test_a_stage_takes_the_sum_of_its_rates_and_its_talk(plan: Plan, sheet: Sheet) -> None:
    figures = of_subject(planned(a_minute_each(plan)), Subject.FORECAST)

    stage = next(stage for stage in sheet.stages if stage.title == "Pump system: bypass leg")
    steps = stage.last - stage.first + 1
    assert worth(figures["time of Pump system: bypass leg"], "min") == pytest.approx(steps + 10.0)
    assert inputs(figures["time of Pump system: bypass leg"])["steps done"] == (
        f"0 of {steps}",
        "times of the ticks",
    )


def test_the_end_is_now_and_what_is_left() -> None:
    run = job.after(60)
    figures = of_subject(going(run), Subject.FORECAST)

    found = forecast(run, job.START)
    assert figures["time left on the floor"].value == found.left
    assert inputs(figures["time left on the floor"])["expected end"][0] == f"{found.end:%Y-%m-%d %H:%M}"


def test_deck_work_that_the_floor_waits_for_is_named_with_its_step() -> None:
    figures = every_figure(planned(), (Subject.FORECAST,))

    waits = [figure for figure in figures if figure.group == "floor steps that wait for deck work"]
    assert waits
    assert all(job.step(figure.step).needs for figure in waits)
    ahead = named(figures)["deck work ready before the floor needs it, at the least"]
    assert worth(ahead, "h") < 0.0
    assert "Deck work is critical" in ahead.advice


def test_a_plan_without_a_sheet_has_no_forecast(plan: Plan) -> None:
    assert every_figure(basis_of_plan(plan, None, job.START), (Subject.FORECAST,)) == ()
