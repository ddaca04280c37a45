"""What holds for any changes to the sheet of any legal plan, and for a recompile of a changed plan."""

import contextlib
from collections.abc import Callable
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.compiler.compile import compile_plan
from app.domain.edits.deciding import EditError
from app.domain.edits.editing import edit_sheet
from app.domain.edits.findings import edit_problems
from app.domain.edits.kinds import Change, DropStep, MoveStep, Place, RepeatStep, RewordStep, standing
from app.domain.problems import Severity
from app.domain.sheet import Lane, Stage, Step
from app.domain.string.laws import prove_sheet
from tests.domain.edits.desk import Desk, own
from tests.plan_builder import PlanChoice, build_plan
from tests.strategies import plan_choices

# A change by how much of its luck it takes: which kind, which step, and where to.
Luck = tuple[int, float, float, bool]
LUCK: st.SearchStrategy[Luck] = st.tuples(
    st.integers(0, 4), st.floats(0, 0.999), st.floats(0, 0.999), st.booleans()
)
FEW = settings(max_examples=6)


@st.composite
def changed_sheets(draw: st.DrawFn) -> Desk:
    """Draw a plan, its sheet, and the changes that were taken of some that were asked for."""
    plan = build_plan(draw(plan_choices()))
    return changed(Desk(plan, compile_plan(plan)[0]), draw(st.lists(LUCK, max_size=6)))


def everywhere(_stage: Stage) -> bool:
    return True


def changed(desk: Desk, asked: list[Luck], *, stages: Callable[[Stage], bool] = everywhere) -> Desk:
    for luck in asked:
        sheet = desk.sheet
        steps = [step for step in sheet.steps if stages(sheet.stage(step.stage))]
        with contextlib.suppress(EditError):
            desk.change(change_of(steps, luck))
    return desk


def change_of(steps: list[Step], luck: Luck) -> Change:
    kind, which, where, first = luck
    step, beside = steps[int(which * len(steps))], steps[int(where * len(steps))]
    place = Place(start_of=beside.stage) if first else Place(after=beside.key)
    changes: tuple[Change, ...] = (
        DropStep(step.key),
        MoveStep(step.key, place),
        RewordStep(step.key, "Do it as we agreed."),
        own(place),
        RepeatStep("", step.key, place),
    )
    return changes[kind]


@FEW
@given(changed_sheets())
def test_steps_stay_numbered_keyed_apart_and_in_whole_stages(desk: Desk) -> None:
    sheet = desk.sheet

    covered = [number for stage in sheet.stages for number in range(stage.first, stage.last + 1)]
    assert [step.number for step in sheet.steps] == covered == list(range(1, len(sheet.steps) + 1))
    assert len({step.key for step in sheet.steps}) == len(sheet.steps)
    assert all(step in sheet.steps_of(step.stage) for step in sheet.steps)
    assert [(stage.id, stage.hold_point) for stage in sheet.stages] == [
        (stage.id, stage.hold_point) for stage in desk.compiled.stages
    ]


@FEW
@given(changed_sheets())
def test_all_deck_work_stays_due_before_some_floor_step(desk: Desk) -> None:
    sheet = desk.sheet

    needed = {number for step in sheet.steps for number in step.needs}
    assert needed == {step.number for step in sheet.lane(Lane.DECK)}
    assert all(max(step.needs, default=0) < step.number for step in sheet.steps)
    assert all(not step.needs for step in sheet.lane(Lane.DECK))


@FEW
@given(changed_sheets())
def test_taking_all_changes_back_gives_the_compiled_sheet(desk: Desk) -> None:
    for edit in standing(desk.history):
        desk.take_back(edit.number)

    assert desk.sheet == desk.compiled
    assert desk.edited.not_applied == ()


@FEW
@given(changed_sheets())
def test_what_was_taken_applies_again_and_the_proof_bears_it(desk: Desk) -> None:
    edited = desk.edited

    assert edited.not_applied == ()
    assert [change.number for change in edited.sheet.changes] == [
        edit.number for edit in standing(desk.history)
    ]
    assert all(problem.where.startswith("step ") for problem in prove_sheet(desk.plan, edited.sheet))


@FEW
@given(plan_choices(), st.integers(1, 12), st.lists(LUCK, min_size=1, max_size=6))
def test_changes_to_what_stays_the_same_survive_a_recompile(
    choice: PlanChoice, joints: int, asked: list[Luck]
) -> None:
    plan = build_plan(choice)
    desk = changed(Desk(plan, compile_plan(plan)[0]), asked, stages=lambda stage: bool(stage.system))
    recompiled, _ = compile_plan(build_plan(replace(choice, production_joints=joints)))

    edited = edit_sheet(recompiled, desk.history)

    assert edited.not_applied == ()
    assert [change.what for change in edited.sheet.changes] == [change.what for change in desk.sheet.changes]


@FEW
@given(plan_choices(), plan_choices(), st.lists(LUCK, min_size=1, max_size=6))
def test_every_change_either_survives_a_recompile_or_is_reported(
    choice: PlanChoice, other: PlanChoice, asked: list[Luck]
) -> None:
    plan = build_plan(choice)
    desk = changed(Desk(plan, compile_plan(plan)[0]), asked)

    edited = edit_sheet(compile_plan(build_plan(other))[0], desk.history)

    applied = [change.number for change in edited.sheet.changes]
    lost = [int(problem.where.removeprefix("change ")) for problem in edited.not_applied]
    assert sorted(applied + lost) == [edit.number for edit in standing(desk.history)]
    assert all(problem.severity is Severity.CAUTION for problem in edit_problems(edited))
