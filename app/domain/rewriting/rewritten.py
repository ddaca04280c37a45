"""What a run's sheet becomes, before anybody has signed for it."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from app.domain.plan import Plan
from app.domain.problems import Problem, has_stop
from app.domain.run import Run
from app.domain.sheet import Lane, Sheet, Step
from app.domain.string.laws import prove_whole
from app.domain.string.simulator import state_after, walk


@dataclass(frozen=True, slots=True)
class Rewritten:
    """The sheet of a run written anew: steps 1 to `kept` keep their numbers.

    `undone` are steps done that those of `back` take back; `dropped` open ones that are no longer wanted.
    `carried` is the stage in which the run goes on as it was signed for, where it has a new name. `turns` is
    the number of the way back that it goes on from, 0 where none is being walked.
    """

    plan: Plan
    sheet: Sheet
    kept: int
    problems: tuple[Problem, ...]
    undone: tuple[int, ...] = ()
    back: tuple[int, ...] = ()
    dropped: tuple[int, ...] = ()
    carried: str = ""
    turns: int = 0

    @property
    def may_be_signed(self) -> bool:
        """Return whether nothing stops it."""
        return not has_stop(self.problems)

    def ahead(self) -> tuple[Step, ...]:
        """Return the steps behind those that keep their numbers."""
        return self.sheet.steps[self.kept :]


def done_in_order(run: Run) -> tuple[Step, ...]:
    """Return every step that was done, in the order in which the string saw them."""
    return tuple(run.sheet.steps[number - 1] for number in run.done)


def kept_in(run: Run) -> int:
    """Return up to which step a rewriting leaves the sheet as it is: the last one before the current."""
    return run.floor_next - 1


def still_open(run: Run, sheet: Sheet, dropped: Iterable[int] = ()) -> tuple[Step, ...]:
    """Return the steps of a rewritten sheet that are to be done: all ahead, and open ones behind."""
    gone = run.dropped.union(dropped)
    kept = kept_in(run)
    return tuple(
        step
        for step in sheet.steps
        if step.number > kept or (step.number not in run.done and step.number not in gone)
    )


def proven(
    run: Run, plan: Plan, sheet: Sheet, *, dropped: tuple[int, ...] = (), carried: str = ""
) -> tuple[Problem, ...]:
    """Return every breach of a law in the open steps of a sheet, walked from the string as it hangs.

    In a stage that is carried on the crew does not stand down for deck work that came with a changed plan.
    """
    left = still_open(run, sheet, dropped)
    if carried:
        left = tuple(replace(step, stage=carried) if step.lane is Lane.DECK else step for step in left)
    trace = walk(state_after(plan, done_in_order(run)), left)
    return prove_whole(trace, Sheet(sheet.stages, left))
