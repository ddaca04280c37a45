"""Closure figures against the two legs added up by hand."""

from dataclasses import replace

import pytest

from app.domain.commands import CorrectReading, Entered, FinishStep, ReadAgain
from app.domain.compiler.compile import compile_plan
from app.domain.figures.at_step import figures_before
from app.domain.figures.subjects.basis import Subject
from app.domain.figures.subjects.every import every_figure, figures_outside, needed_at
from app.domain.install_record import ReadingVerdict
from app.domain.operations import Operation
from app.domain.quantities import length
from app.domain.run import Run, new_run
from tests.domain import job
from tests.domain.checks.changes import change_y_block
from tests.domain.figures.subjects.figured import going, inputs, margin, of_subject, planned, worth
from tests.domain.job import typed

LONG = job.first(Operation.MEASURE, "BP-02")


def with_long_joint() -> Run:
    """Return the run in which BP-02 was measured 31.90 ft, 0.70 ft longer than planned."""
    return job.do(job.begun(), FinishStep(LONG, typed(job.begun(), LONG, length_BP_02="31.90 ft")))


def test_the_extension_is_pump_side_less_bypass_side() -> None:
    result = of_subject(planned(), Subject.CLOSURE)["extension of the swivel of YB-1"]

    # 16.20 + 6.40 + 1.40 + 12.30 + 1.20 + 6.60 = 44.10 ft; 7.97 + 31.03 + 1.00 + 3.60 = 43.60 ft.
    assert worth(result, "in") == pytest.approx(6.0)
    assert (result.limits_text, result.margin_text) == ("1.5 in to 10.500 in", "4.500 in")
    assert inputs(result)["MTR-1"] == ("16.20 ft", "plan")


def test_tolerances_add_up_at_worst_and_by_chance() -> None:
    figures = of_subject(planned(), Subject.CLOSURE)

    # Ten lengths of 0.01 ft each: 0.1 ft, and 0.01 ft by the root of ten.
    assert worth(figures["extension of YB-1 may be off, at worst"], "in") == pytest.approx(1.2)
    assert worth(figures["extension of YB-1 may be off, likely"], "in") == pytest.approx(0.3795, abs=1e-4)
    assert margin(figures["extension of YB-1 may be off, at worst"], "in") == pytest.approx(3.3)


def test_a_joint_longer_than_planned_takes_the_swivel_out_of_its_stroke() -> None:
    result = of_subject(going(with_long_joint()), Subject.CLOSURE)["extension of the swivel of YB-1"]

    # 6.0 in less 0.70 ft.
    assert worth(result, "in") == pytest.approx(-2.4)
    assert margin(result, "in") == pytest.approx(-3.9)
    assert result.verdict is ReadingVerdict.BELOW_WINDOW
    assert "too long for the swivel" in result.advice
    assert inputs(result)["BP-02"] == ("31.90 ft", f"measured at step {LONG}")


def test_a_step_that_handles_such_a_joint_depends_on_the_closure_and_another_does_not() -> None:
    found = figures_outside(every_figure(going(with_long_joint()), (Subject.CLOSURE,)))
    picks_up = next(step for step in job.sheet().steps if "BP-02" in step.parts and step.lane == "floor")
    hanger = next(step for step in job.sheet().steps if step.parts == ("TH-1",))

    assert needed_at(picks_up, found) == found
    assert needed_at(hanger, found) == ()


def test_a_y_block_measured_longer_asks_for_more_of_the_swivel() -> None:
    (system,) = job.plan().systems
    plan = change_y_block(job.plan(), 0, also_measured=())
    sheet, _ = compile_plan(plan)
    assert sheet is not None
    begun = job.happened(new_run("run-1", plan, sheet), job.RELEASE)
    block = job.first(Operation.INSPECT_PART, system.y_block.tag)
    run = job.do(begun, FinishStep(block, typed(begun, block, length_YB_1="6.80 ft")))

    result = of_subject(going(run), Subject.CLOSURE)["extension of the swivel of YB-1"]

    # 6.0 in and 0.20 ft: what the tape shows of this block is its drop.
    assert worth(result, "in") == pytest.approx(8.4)
    assert inputs(result)["drop of YB-1"] == ("6.80 ft", f"measured at step {block}")


def test_what_is_worked_out_can_be_worked_out_again_from_its_inputs() -> None:
    figures = of_subject(planned(), Subject.CLOSURE)

    extension = inputs(figures["extension of the swivel of YB-1"])
    mark = inputs(figures["mark for mid stroke, below the top of BP-01"])
    load = inputs(figures["change of YB-1 by load"])
    assert extension["make-up loss of each joint over the mark's"] == ("0.17 ft", "plan")
    # 44.10 less 0.50, 3.60, 1.00 and 31.20 less 0.17 ft are 7.97 ft.
    assert [mark[name][0] for name in ("pump side", "SS-1", "BP-02", "make-up loss")] == [
        "44.10 ft",
        "1.00 ft",
        "31.20 ft",
        "0.17 ft",
    ]
    assert load["length L of both legs, from the mark to the top of the Y-block"][0] == "44.10 ft"
    assert load["modulus E of steel"] == ("30e6 psi", "assumed")


def test_an_extension_read_where_the_legs_meet_stands_against_the_lengths() -> None:
    as_told = job.after(job.MEET_SWIVEL)
    before = job.before(job.MEET_SWIVEL)
    readings = typed(before, job.MEET_SWIVEL, swivel_extension="8.0 in")
    once = job.do(before, FinishStep(job.MEET_SWIVEL, readings))
    other = job.do(once, ReadAgain(job.MEET_SWIVEL, readings), job.DRILLER)

    good = of_subject(going(as_told), Subject.CLOSURE)["swivel extension against the lengths"]
    off = of_subject(going(other), Subject.CLOSURE)["swivel extension against the lengths"]

    # Ten lengths of 0.01 ft may take 6.0 in 1.2 in off either way.
    assert (good.limits_text, good.is_outside) == ("4.800 in to 7.200 in", False)
    assert margin(off, "in") == pytest.approx(-0.8)
    assert "before the swivel is torqued and locked" in off.advice
    assert inputs(off)["extension by the lengths"] == ("6.000 in", "worked out")


def test_what_is_expected_where_the_legs_meet_names_no_joint_or_mark_that_is_in_the_hole() -> None:
    step = job.step(job.MEET_SWIVEL)
    block = job.first(Operation.INSPECT_PART, "YB-1")
    longer = CorrectReading(block, Entered("drop YB-1", "6.80", "ft", "T-TAPE"), "misread")

    (expected,) = figures_before(job.do(job.before(job.MEET_SWIVEL), longer), step)

    assert worth(expected, "in") == pytest.approx(8.4)
    assert "only backing out changes that" in expected.advice


def test_a_mark_off_its_joint_is_outside() -> None:
    plan = job.plan()
    system = replace(plan.systems[0], datum=replace(plan.systems[0].datum, below_top=length(20.5, "ft")))

    result = of_subject(planned(replace(plan, systems=(system,))), Subject.CLOSURE)

    # BP-01 shows 20.23 ft made up.
    assert margin(result["mark below the top of BP-01"], "ft") == pytest.approx(-0.27)


def test_the_well_pulls_the_bypass_leg_longer_than_the_pump_leg() -> None:
    figures = of_subject(planned(), Subject.CLOSURE)

    change = worth(figures["change of YB-1 by load"], "in")
    assert change < 0.0
    assert worth(figures["extension of YB-1 in the well, warm and loaded"], "in") == pytest.approx(
        6.0 + change
    )
