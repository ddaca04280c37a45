from dataclasses import replace

import pytest

from app.domain.commands import CorrectReading, Entered, FinishStep, UndoStep
from app.domain.measured import as_measured, measured_lengths
from app.domain.plan import Plan
from app.domain.quantities import in_unit, length
from app.domain.run import Run
from tests.domain.job import MEASURE_GAUGE, MEASURE_JOINT, MEET_SWIVEL, after, all_done, do, typed


def measured(run: Run, number: int, text: str, tag: str) -> Run:
    """Return the run after a length was measured at a step."""
    name = f"length_{tag}".replace("-", "_")
    return do(run, FinishStep(number, typed(run, number, **{name: text})))


def test_nothing_is_measured_at_the_beginning(begun: Run) -> None:
    assert measured_lengths(begun) == {}


def test_a_length_is_known_by_its_tag_as_it_was_typed(begun: Run) -> None:
    run = measured(begun, MEASURE_JOINT, "20.43 ft", "BP-01")

    lengths = measured_lengths(run)

    assert list(lengths) == ["BP-01"]
    assert in_unit(lengths["BP-01"], "ft") == pytest.approx(20.43)
    assert lengths["BP-01"].typed == "20.43 ft"


def test_a_serial_read_at_the_same_step_is_no_length(begun: Run) -> None:
    run = measured(begun, MEASURE_GAUGE, "2.01 ft", "GA-1")

    assert list(measured_lengths(run)) == ["GA-1"]


def test_a_corrected_length_takes_the_place_of_the_first(begun: Run) -> None:
    run = measured(begun, MEASURE_JOINT, "20.43 ft", "BP-01")

    corrected = do(
        run, CorrectReading(MEASURE_JOINT, Entered("length BP-01", "20.34", "ft", "T-TAPE"), "misread")
    )

    assert measured_lengths(corrected)["BP-01"].typed == "20.34 ft"


def test_a_length_taken_back_is_not_known(begun: Run) -> None:
    run = measured(begun, MEASURE_JOINT, "20.43 ft", "BP-01")

    assert measured_lengths(do(run, UndoStep(MEASURE_JOINT, "wrong joint"))) == {}


def test_the_extension_of_a_swivel_is_not_the_length_of_its_block() -> None:
    run = after(MEET_SWIVEL)

    lengths = measured_lengths(run)

    assert [item.name for item in run.done[MEET_SWIVEL].readings] == ["swivel extension"]
    assert in_unit(lengths["YB-1"], "ft") == pytest.approx(6.60, abs=0.001)


def test_every_part_and_joint_of_a_finished_run_was_measured(plan: Plan) -> None:
    (system,) = plan.systems
    tags = {part.tag for part in system.every_part()} | {system.y_block.tag}
    tags |= {joint.tag for joint in system.every_joint()}
    tags |= {joint.tag for joint in plan.production.tubing.joints} | {plan.production.hanger.tag}

    assert set(measured_lengths(all_done())) == tags


def test_a_plan_without_measured_lengths_stays_as_it_is(plan: Plan) -> None:
    assert as_measured(plan, {}) == plan


def test_measured_lengths_stand_in_the_place_of_planned_ones_and_nothing_else_changes(plan: Plan) -> None:
    tags = ("BP-02", "MTR-1", "YB-1", "HS-1", "EG-1", "SS-1", "P-003", "TH-1")
    lengths = {tag: length(number, "m") for number, tag in enumerate(tags, start=1)}

    built = as_measured(plan, lengths)

    (system,) = built.systems
    assert [joint.length.typed for joint in system.bypass.joints] == ["20.40 ft", "1 m"]
    assert next(part for part in system.parts if part.tag == "MTR-1").length == lengths["MTR-1"]
    assert system.y_block.length == lengths["YB-1"]
    assert system.handling_sub.length == lengths["HS-1"]
    assert system.entry_guide is not None
    assert system.entry_guide.length == lengths["EG-1"]
    assert system.safety_sub is not None
    assert system.safety_sub.length == lengths["SS-1"]
    assert built.production.tubing.joints[2].length == lengths["P-003"]
    assert built.production.hanger.length == lengths["TH-1"]
    assert replace(built, systems=plan.systems, production=plan.production) == plan


def test_crossovers_and_tubing_below_a_system_are_measured_too(plan: Plan) -> None:
    (system,) = plan.systems
    extra = replace(
        system,
        crossover=replace(system.handling_sub, tag="XO-1"),
        tubing_below=plan.production.tubing,
        entry_guide=None,
        safety_sub=None,
    )
    production = replace(plan.production, crossover=replace(plan.production.hanger, tag="XO-2"))
    lengths = {"XO-1": length(1.0, "m"), "XO-2": length(2.0, "m"), "P-001": length(3.0, "m")}

    built = as_measured(replace(plan, systems=(extra,), production=production), lengths)

    assert built.systems[0].crossover is not None
    assert built.systems[0].crossover.length == lengths["XO-1"]
    assert built.systems[0].tubing_below is not None
    assert built.systems[0].tubing_below.joints[0].length == lengths["P-001"]
    assert built.production.crossover is not None
    assert built.production.crossover.length == lengths["XO-2"]
