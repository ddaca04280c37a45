"""When each step began and ended, and how long that was against the plan: all of it from the ticks.

A step ends with its tick, or when it was done by the paper. It begins when the one before it in its lane
ended, or the signatures of a hold point that came after that; time on hold is no work. None of this is kept:
what undoes or copies a step changes it.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from app.domain.at_step.pace import worked
from app.domain.at_step.planned_time import planned_times
from app.domain.quantities import Duration, Ratio
from app.domain.run import Run
from app.domain.sheet import Lane, Stage

# Common practice: nobody does the work in less than this share of the time that it is planned to take.
TOO_FAST = Ratio(0.20, "20 %")
NO_TIME = Duration(0.0)


@dataclass(frozen=True, slots=True)
class StepTime:
    """The time of a step that is done; `started_at` and `worked` are none where nobody can say.

    `worked` is without the time `on_hold`. `too_fast` marks a tick on the floor that came sooner than the
    step can be done; what is copied from paper is written to the minute and marked `late` alone.
    """

    step: int
    started_at: datetime | None
    ended_at: datetime
    planned: Duration
    worked: Duration | None
    on_hold: Duration
    too_fast: bool
    late: bool


def step_times(run: Run) -> Mapping[int, StepTime]:
    """Return by its number the time of each step that is done."""
    return {time.step: time for time in _times(run)}


def too_fast_before(run: Run, stage_id: str) -> tuple[StepTime, ...]:
    """Return the ticks on the floor that came too fast since the hold point before that of a stage."""
    times = step_times(run)
    numbers = [
        step.number for stage in since_last_talk(run, stage_id) for step in run.sheet.steps_of(stage.id)
    ]
    return tuple(times[number] for number in numbers if number in times and times[number].too_fast)


def since_last_talk(run: Run, stage_id: str) -> tuple[Stage, ...]:
    """Return the stages before one, back to that with the hold point before its own."""
    stages = run.sheet.stages
    at = next((index for index, stage in enumerate(stages) if stage.id == stage_id), 0)
    behind: list[Stage] = []
    for stage in reversed(stages[:at]):
        behind.append(stage)
        if stage.hold_point is not None:
            break
    return tuple(reversed(behind))


def _times(run: Run) -> Iterator[StepTime]:
    planned = planned_times(run.plan, run.sheet)
    for lane in Lane:
        pieces = {piece.step: piece for piece in worked(run, planned, lane)}
        for step in run.sheet.lane(lane):
            done, piece = run.done.get(step.number), pieces.get(step.number)
            if done is None:
                continue
            time = piece.took - piece.held if piece is not None else None
            is_late = done.late is not None
            hasty = time is not None and time < planned[step.number] * TOO_FAST.si
            yield StepTime(
                step=step.number,
                started_at=piece.since if piece is not None else None,
                ended_at=done.ended_at,
                planned=planned[step.number],
                worked=time,
                on_hold=piece.held if piece is not None else NO_TIME,
                too_fast=hasty and lane is Lane.FLOOR and not is_late,
                late=is_late,
            )
