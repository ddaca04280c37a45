"""What remains of a run after its plan was changed, and how that differs from what remained before."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from app.domain.checks.places import place, system_place
from app.domain.checks.shown import given
from app.domain.checks.space_out import length_tolerance
from app.domain.checks.verdict import standing
from app.domain.measured import measured_in
from app.domain.numbering import first_key
from app.domain.operations import Operation
from app.domain.plan import Plan
from app.domain.problems import Problem, caution
from app.domain.refusals import ReplanError
from app.domain.replan import Aside, remaining_of
from app.domain.results import OUTSIDE
from app.domain.rewriting.composing import Ahead, composed, kept_of, needs_of
from app.domain.rewriting.rewritten import Rewritten, kept_in, proven, standing_last, still_open
from app.domain.rewriting.set_aside_anew import (
    no_longer_put_off,
    put_off_ahead,
    put_off_anew,
    set_aside_otherwise,
)
from app.domain.run import Run
from app.domain.sheet import Lane, ReadingKind, Sheet, Stage, Step
from app.domain.wording_of import RULE_OF

MEASURES = frozenset({Operation.MEASURE, Operation.MEASURE_ROW})


@dataclass(frozen=True, slots=True)
class Changed:
    """A step that remains and reads or asks otherwise: as it was, and as it is now."""

    before: Step
    after: Step


@dataclass(frozen=True, slots=True)
class Difference:
    """How what remains differs: steps that are no longer wanted, new ones, and changed ones."""

    gone: tuple[Step, ...]
    new: tuple[Step, ...]
    changed: tuple[Changed, ...]

    @property
    def is_none(self) -> bool:
        """Return whether nothing differs."""
        return not (self.gone or self.new or self.changed)


def replanned(run: Run, plan: Plan, sheet: Sheet) -> Rewritten:
    """Return the sheet of a run whose plan is changed to another, with that plan's compiled sheet.

    What was done keeps its numbers and words; where a stage that was begun goes on otherwise, it asks for
    its signatures again.

    Raises: ReplanError while a way back is being walked.
    """
    _goes_forward(run)
    done = tuple(replace(step, key=first_key(step.key)) for step in run.standing())
    kept, aside, late = kept_in(run), standing_last(run, run.not_applicable), put_off_ahead(run)
    passed = frozenset(key for key, step in aside.items() if step.number <= kept)
    remaining = remaining_of(plan, sheet, done, Aside(passed, frozenset((*aside, *late))))
    wanted = {step.key: step for step in remaining.sheet.steps}
    open_behind = [step for step in run.sheet.steps[:kept] if run.is_open(step.number)]
    dropped = tuple(step.number for step in open_behind if first_key(step.key) not in wanted)
    base = _open_steps_anew(kept_of(run.planned, kept), open_behind, wanted)
    behind = {first_key(step.key) for step in open_behind}
    left = tuple(step for step in remaining.sheet.steps if step.key not in behind)
    ahead = tuple(_still_to_measure(put_off_anew(left, late), _measured(done)))
    stages, anew = remaining.sheet.stages, _reads_otherwise(run, ahead)
    if not anew:
        stages, ahead = _in_its_stage(run, stages, ahead)
    whole = composed(base, (Ahead(stages, ahead, needs_of(sheet), anew=anew),), run.holds)
    carried = "" if anew else _carried(run, whole)
    found = (
        *remaining.problems,
        *_marks_otherwise(run, plan),
        *set_aside_otherwise(aside, sheet),
        *no_longer_put_off(late, left),
        *proven(run, plan, whole, dropped=dropped, carried=carried),
    )
    return Rewritten(plan, whole, kept, found, dropped=dropped, carried=carried)


def difference(run: Run, rewritten: Rewritten) -> Difference:
    """Return how what is open in a rewritten sheet differs from what was open in the run."""
    before = {first_key(step.key): step for step in run.planned.steps if run.is_open(step.number)}
    left = still_open(run, rewritten.sheet, rewritten.dropped)
    after = {first_key(step.key): step for step in left}
    return Difference(
        gone=tuple(step for key, step in before.items() if key not in after),
        new=tuple(step for key, step in after.items() if key not in before),
        changed=tuple(
            Changed(before[key], step)
            for key, step in after.items()
            if key in before and _differ(before[key], step)
        ),
    )


def _marks_otherwise(run: Run, plan: Plan) -> Iterator[Problem]:
    """Yield each mark that a changed plan wants elsewhere than it was set."""
    measured, before = measured_in(run), {system.datum for system in run.plan.systems}
    for position, system in enumerate(plan.systems):
        datum, off = system.datum, length_tolerance(system)
        was_set = measured.worth(datum.joint, ReadingKind.MARK, datum.below_top)
        if datum not in before and standing(was_set, datum.below_top - off, datum.below_top + off) in OUTSIDE:
            yield caution(
                "replan-mark-otherwise",
                place(system_place(position, system), "datum"),
                f"The mark on {datum.joint} was set {given(was_set)} below its top, "
                f"{measured.origin(datum.joint, ReadingKind.MARK)}; the changed plan wants it at "
                f"{given(datum.below_top)}. The legs go on being counted from where it was set. Back out to "
                "before it to set it anew.",
            )


def _goes_forward(run: Run) -> None:
    left = run.way_back_left()
    if left:
        raise ReplanError(
            f"The string is on its way back, step {left[0]} is next: end the way back or turn it first, then "
            "change the plan."
        )


def _measured(done: Sequence[Step]) -> frozenset[str]:
    rows = (step for step in done if step.operation in MEASURES)
    return frozenset(reading.item for step in rows for reading in step.readings)


def _still_to_measure(steps: Sequence[Step], measured: frozenset[str]) -> Iterator[Step]:
    """Yield the steps, rows of joints without those that are measured; a row that has none left is gone."""
    for step in steps:
        left = tuple(reading for reading in step.readings if reading.item not in measured)
        if step.operation is not Operation.MEASURE_ROW or len(left) == len(step.readings):
            yield step
        elif left:
            first, last = left[0].item, left[-1].item
            rule = RULE_OF[Operation.MEASURE if first == last else step.operation]
            text = rule.text.format(joint=first, first=first, last=last)
            yield replace(step, text=text, readings=left, parts=tuple(dict.fromkeys((first, last))))


def _carried(run: Run, whole: Sheet) -> str:
    """Return the new name of the stage that a run is in, empty where it keeps its old one."""
    before = run.current()
    now = next((step for step in whole.steps[kept_in(run) :] if step.lane is Lane.FLOOR), None)
    if before is None or now is None or first_key(before.stage) != first_key(now.stage):
        return ""
    return now.stage if now.stage != before.stage else ""


def _open_steps_anew(kept: Sheet, open_behind: Sequence[Step], wanted: dict[str, Step]) -> Sheet:
    # Deck work that is still open takes the words and limits of the changed plan, under its old number.
    anew = {
        step.number: replace(wanted[first_key(step.key)], number=step.number, key=step.key, stage=step.stage)
        for step in open_behind
        if first_key(step.key) in wanted
    }
    return replace(kept, steps=tuple(anew.get(step.number, step) for step in kept.steps))


def _reads_otherwise(run: Run, ahead: Sequence[Step]) -> bool:
    """Return whether the stage that the run is in goes on with other steps than were signed for."""
    current = run.current()
    if current is None:
        return False
    signed = [step.text for step in run.sheet.steps[kept_in(run) :] if step.stage == current.stage]
    return signed != [step.text for step in ahead if step.stage == _first_stage(ahead)]


def _in_its_stage(
    run: Run, stages: Sequence[Stage], ahead: Sequence[Step]
) -> tuple[tuple[Stage, ...], tuple[Step, ...]]:
    """Return stages and steps ahead, the first of the floor in the stage that the run is in.

    Behind a way back that is another one than the plan's own: it was entered in its middle.
    """
    current = run.current()
    if current is None:
        return tuple(stages), tuple(ahead)
    planned, here = _first_stage(ahead), run.sheet.stage(current.stage)
    steps = (replace(step, stage=here.id) if step.stage == planned else step for step in ahead)
    return (*stages, here), tuple(steps)


def _first_stage(ahead: Sequence[Step]) -> str:
    return next((step.stage for step in ahead if step.lane is Lane.FLOOR), "")


def _differ(before: Step, after: Step) -> bool:
    return (before.text, before.readings, before.joined, before.dressed, before.gear) != (
        after.text,
        after.readings,
        after.joined,
        after.dressed,
        after.gear,
    )
