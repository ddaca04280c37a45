"""What a run's sheet becomes, before anybody has signed for it."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TypeVar

from app.domain.numbering import first_key
from app.domain.plan import Plan
from app.domain.problems import Problem, has_stop
from app.domain.run import Run
from app.domain.sheet import Lane, Sheet, Step
from app.domain.string.laws import prove_whole
from app.domain.string.simulator import state_after, walk

Said = TypeVar("Said")


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
    aside = carried_over(run, run.not_applicable, sheet, kept)
    return tuple(
        step
        for step in sheet.steps
        if step.number not in aside
        and (step.number > kept or (step.number not in run.done and step.number not in gone))
    )


def standing_last(run: Run, numbers: Collection[int]) -> dict[str, Step]:
    """Return by key those steps of some numbers that stand nowhere again further on in a run's sheet."""
    last = {first_key(step.key): step for step in run.sheet.steps}
    return {key: step for key, step in last.items() if step.number in numbers}


def carried_over(run: Run, said: Mapping[int, Said], sheet: Sheet, kept: int) -> dict[int, Said]:
    """Return what was said of steps by the numbers that they have in a rewritten sheet.

    Up to `kept` a step keeps what was said of it; ahead it has what was said where its work stood last.
    """
    if not said:
        return {}
    known = {key: said[step.number] for key, step in standing_last(run, said).items()}
    behind = {number: item for number, item in said.items() if number <= kept}
    ahead = ((step.number, known.get(first_key(step.key))) for step in sheet.steps[kept:])
    return behind | {number: item for number, item in ahead if item is not None}


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


def current_stage(run: Run) -> str:
    """Return the stage that the floor is in, empty when it is finished."""
    current = run.current()
    return current.stage if current is not None else ""


def proven_going_on(run: Run, sheet: Sheet, begun: str) -> tuple[Problem, ...]:
    """Return every breach of a law in the open steps of a sheet by which the crew goes on in a stage.

    Nobody stands down for deck work that is open; at the next stage everybody does.
    """
    left = still_open(run, sheet)
    if begun:
        left = tuple(replace(step, stage=begun) if step.lane is Lane.DECK else step for step in left)
    trace = walk(state_after(run.plan, done_in_order(run)), left)
    return prove_whole(replace(trace, begun=begun), Sheet(sheet.stages, left))
