"""Load figures against weights added up by hand."""

import math
from dataclasses import replace

import pytest

from app.domain.commands import Entered, FinishStep
from app.domain.figures.subjects.basis import Subject, basis_at
from app.domain.figures.subjects.every import every_figure, figures_outside, needed_at
from app.domain.plan import Plan
from app.domain.quantities import Angle, mass, quantity
from app.domain.refusals import UnknownStepError
from tests.domain import job
from tests.domain.figures.subjects.figured import going, inputs, margin, named, of_subject, planned, worth
from tests.domain.job import do, typed
from tests.domain.test_measured import caliper_run

FIRST_SLINGS = "slings LG-SG, LC-540 on MTR-1"


def test_a_system_weighs_the_sum_of_its_parts_and_less_in_the_fluid() -> None:
    figures = of_subject(planned(), Subject.LOADS)

    # Parts 1935, bypass leg 18 + 14 + 51.6 x 6.4, four clamps of 28, block 520, sub 35, lead 82.5 lb.
    assert worth(figures["weight of system pump in air"], "lb") == pytest.approx(3046.74)
    # 8.6 lb/gal is 1030.52 kg/m3: 1 - 1030.52 / 7850 = 0.868724 of it is left.
    buoyed = figures["weight of system pump buoyed, all of it under the fluid"]
    assert worth(buoyed, "lb") == pytest.approx(3046.74 * 0.868724, rel=1e-5)


def test_a_support_is_told_at_the_step_where_it_sees_most() -> None:
    figures = every_figure(planned(), (Subject.LOADS,))

    (peak,) = [figure for figure in figures if figure.result.name == FIRST_SLINGS]
    # Gauge 60, motor 880, and the clamp of 28 lb that is put on it while it hangs there.
    assert worth(peak.result, "lb") == pytest.approx(968)
    assert margin(peak.result, "lb") == pytest.approx(6500 - 968)
    assert job.step(peak.step).dressed is not None
    assert {"LG-SG", "LC-540"} <= peak.about


def test_slings_pull_more_than_half_the_weight_at_their_angle() -> None:
    result = of_subject(planned(), Subject.LOADS)["tension in each leg of LG-SG"]

    assert worth(result, "lb") == pytest.approx(968 / (2 * math.sin(math.radians(60))))
    assert "29 CFR 1910.184" in result.source


def test_what_a_run_holds_now_is_told_with_the_hook_load() -> None:
    figures = of_subject(going(job.before(74)), Subject.LOADS)

    assert worth(figures[FIRST_SLINGS], "lb") == pytest.approx(940)
    assert inputs(figures[FIRST_SLINGS])["shared with others"] == ("never", "assumed")
    assert "expected hook load" in figures


def test_a_plan_is_told_as_it_will_be_at_any_step() -> None:
    figures = every_figure(basis_at(planned(), 74), (Subject.LOADS,))

    now = named(figure for figure in figures if figure.group == "after step 74")
    assert worth(now[FIRST_SLINGS], "lb") == pytest.approx(968)
    with pytest.raises(UnknownStepError):
        basis_at(planned(), job.LAST + 1)


def test_gear_too_weak_for_its_peak_is_outside_and_a_step_that_uses_it_depends_on_it(plan: Plan) -> None:
    weak = tuple(
        replace(gear, wll=mass(900, "lb")) if gear.tag == "LC-540" else gear for gear in plan.lifting_gear
    )

    found = figures_outside(every_figure(planned(replace(plan, lifting_gear=weak)), (Subject.LOADS,)))

    uses = next(step for step in job.sheet().steps if any(move.item == "LC-540" for move in step.gear))
    assert FIRST_SLINGS in {figure.result.name for figure in found}
    assert "greatest load on LC-540 for lifting and landing MTR-1" in {figure.result.name for figure in found}
    assert needed_at(uses, found) == found


def test_a_measured_weight_changes_what_its_clamp_sees(plan: Plan) -> None:
    run, number = caliper_run(plan)
    done = do(run, FinishStep(number, typed(run, number, weight_MTR_1="940 lb")))

    figures = of_subject(going(done), Subject.LOADS)

    # 60 lb of gauge and the motor as weighed.
    assert worth(figures["greatest load on LC-540 for lifting and landing MTR-1"], "lb") == pytest.approx(
        1000
    )


def test_slings_too_flat_are_outside(plan: Plan) -> None:
    flat = tuple(
        replace(gear, angle=quantity("40", "deg", Angle)) if gear.tag == "LG-SG" else gear
        for gear in plan.lifting_gear
    )

    result = of_subject(planned(replace(plan, lifting_gear=flat)), Subject.LOADS)

    angle = result["angle of LG-SG from the horizontal"]
    assert margin(angle, "deg") == pytest.approx(-5.0)
    assert "use longer slings" in angle.advice


def test_a_reading_of_the_weight_indicator_stands_among_the_loads(plan: Plan) -> None:
    number = next(
        step.number
        for step in job.sheet().steps
        if any(wanted.kind == "hook load" for wanted in step.readings)
    )
    run = job.before(number)
    wanted = job.step(number).readings[0]
    entered = (Entered(wanted.name, "12500", "lb", confirmed=True),)

    figures = every_figure(going(do(run, FinishStep(number, entered))), (Subject.LOADS,))

    (read,) = [figure for figure in figures if figure.group == "weight indicator"]
    assert read.step == number
    assert worth(read.result, "lb") == pytest.approx(12500)
