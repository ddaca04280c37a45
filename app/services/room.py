"""Room in the hole: the sections of a plan, once it is whole enough to be measured."""

from dataclasses import dataclass
from datetime import date

from app.domain.measured import plan_in
from app.domain.plan import Plan
from app.domain.problems import Problem, Severity
from app.domain.refusals import RefusedError
from app.domain.room.rows import RoomRow, room_rows
from app.domain.run import Run
from app.records.plan_toml import read_plan


class NoRoomError(RefusedError):
    """The room of the plan's string cannot be measured yet."""

    rule = "room"

    def __init__(self, stop: Problem) -> None:
        super().__init__(f"The room in the hole cannot be measured yet. {stop.where}: {stop.text}")


@dataclass(frozen=True, slots=True)
class MeasuredRoom:
    """A plan and the sections of its string."""

    plan: Plan
    rows: tuple[RoomRow, ...]


def measure_room(text: str | bytes, today: date) -> MeasuredRoom:
    """Return the sections of a plan's text and the room that each has.

    Raises: NoRoomError with the first finding that stands in the way.
    """
    # A server that nobody has shown a plan should not wait for the checks.
    from app.domain.checks.every import WITHHELD, run_checks  # noqa: PLC0415

    plan, problems = read_plan(text)
    if plan is None:
        raise NoRoomError(problems[0])
    found = run_checks(plan, today)
    if any(problem.rule == WITHHELD for problem in found):
        raise NoRoomError(next(problem for problem in found if problem.severity is Severity.STOP))
    return MeasuredRoom(plan, room_rows(plan))


def measure_room_of_run(run: Run) -> MeasuredRoom:
    """Return the sections of a run's string, with everything that was measured so far."""
    plan = plan_in(run)
    return MeasuredRoom(plan, room_rows(plan))
