"""The way back out of the hole: the sheet that undoes a run from a step, proven before anyone lifts."""

from dataclasses import dataclass

from app.domain.plan import Plan
from app.domain.problems import Problem, has_stop
from app.domain.pulling.pull import back_out_sheet, pull_sheet
from app.domain.sheet import Sheet
from app.domain.string.laws import prove_trace
from app.domain.string.simulator import state_after, walk


@dataclass(frozen=True, slots=True)
class WayBack:
    """A sheet that undoes steps, and every breach of a law in it."""

    sheet: Sheet
    problems: tuple[Problem, ...]

    @property
    def is_proven(self) -> bool:
        """Return whether it keeps every law."""
        return not has_stop(self.problems)


def way_back(plan: Plan, sheet: Sheet, last: int, first: int | None = None) -> WayBack:
    """Return the way back after step `last`: to before step `first`, or without one out of the hole."""
    done = sheet.steps[:last]
    back = pull_sheet(plan, sheet, done) if first is None else back_out_sheet(plan, sheet, done, first - 1)
    return WayBack(back, prove_trace(walk(state_after(plan, done), back.steps)))
