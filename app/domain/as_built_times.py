"""The times of the install record: of each step against the plan, and where the clock was moved."""

from collections.abc import Iterator

from app.domain.as_built_parts import time_text
from app.domain.at_step.step_times import TOO_FAST, StepTime, step_times
from app.domain.events.clock import ClockJumped
from app.domain.quantities import Duration
from app.domain.record_steps import ClockMoved, StepTiming
from app.domain.run import Run

FAST = f"ticked in less than {TOO_FAST.typed} of its planned time"
LATE = "entered from paper"
MINUTE_S = 60.0


def times(run: Run) -> Iterator[StepTiming]:
    """Yield the time of each step that is done, in the order of the sheet."""
    for number, time in sorted(step_times(run).items()):
        done = run.done[number]
        yield StepTiming(
            step=number,
            began_at=time_text(time.started_at),
            ended_at=time_text(time.ended_at),
            planned_minutes=minutes_text(time.planned),
            worked_minutes=minutes_text(time.worked),
            on_hold_minutes=minutes_text(time.on_hold if time.on_hold.si > 0.0 else None),
            mark=mark_of(time),
            entered_by=done.who.titled,
            entered_at=time_text(done.at),
        )


def mark_of(time: StepTime) -> str:
    """Return what is to be known of the time of a step, or nothing."""
    return LATE if time.late else FAST if time.too_fast else ""


def minutes_text(time: Duration | None) -> str:
    """Return a time [s] in minutes to a tenth, or nothing where there is none."""
    return "" if time is None else f"{time.si / MINUTE_S:.1f}"


def clock_moves(run: Run) -> Iterator[ClockMoved]:
    """Yield where the clock was moved, in the order in which it was found."""
    for happened in run.clock_jumps:
        event = happened.event
        assert isinstance(event, ClockJumped), "a run keeps only these among its jumps"
        yield ClockMoved(happened.sequence, event.by, event.before, event.after)
