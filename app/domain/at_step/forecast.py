"""When the run ends: what is left by the plan's times and the run's own pace, and what holds it up."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from app.domain.at_step.lost_time import LostTime, lost_by_cause
from app.domain.at_step.pace import Pace, Worked, pace_of, worked
from app.domain.at_step.planned_time import planned_times, talk_time
from app.domain.quantities import Duration, total
from app.domain.run import Run
from app.domain.sheet import Lane, Stage, Step

NOTHING = Duration(0.0)


@dataclass(frozen=True, slots=True)
class StageTime:
    """One stage: planned, spent so far with what of it stood or was on hold, and forecast to be left."""

    stage: Stage
    planned: Duration
    spent: Duration
    stood: Duration
    left: Duration
    done: int
    steps: int
    held: Duration = NOTHING

    @property
    def forecast(self) -> Duration:
        """Return what the stage comes to in all [s]."""
        return self.spent + self.left

    @property
    def still(self) -> Duration:
        """Return what of the time spent was no work, with a cause or without [s]."""
        return self.stood + self.held


@dataclass(frozen=True, slots=True)
class Wait:
    """A floor step that will wait for deck work: for how long, and the last deck step that it needs."""

    step: Step
    time: Duration
    deck_step: int


@dataclass(frozen=True, slots=True)
class Forecast:
    """The stages, the pace, what is left on the floor, every wait for the deck, time lost, expected end.

    `deck_ahead` is by how much the deck is ready before the floor needs it where that is least; none where
    no deck work is needed any more.
    """

    stages: tuple[StageTime, ...]
    pace: Pace
    left: Duration
    waits: tuple[Wait, ...]
    deck_ahead: Duration | None
    end: datetime
    lost: tuple[LostTime, ...] = ()

    @property
    def stood(self) -> Duration:
        """Return all the time that nothing was done and nobody said why [s]."""
        return total(Duration, (stage.stood for stage in self.stages))


@dataclass(frozen=True, slots=True)
class _Queue:
    left: Duration
    waits: tuple[Wait, ...]
    ahead: Duration | None


def forecast(run: Run, now: datetime) -> Forecast:
    """Return when a run ends and how its stages come out, as it stands at a time."""
    planned = planned_times(run.plan, run.sheet)
    floor, deck = worked(run, planned, Lane.FLOOR), worked(run, planned, Lane.DECK)
    pace = pace_of(run, (*floor, *deck))
    left = dict(_left(run, planned, pace))
    queue = _queued(run, left)
    end = now + timedelta(seconds=queue.left.si)
    return Forecast(
        tuple(_stages(run, planned, left, (*floor, *deck))),
        pace,
        queue.left,
        queue.waits,
        queue.ahead,
        end,
        lost_by_cause(run, now),
    )


def _left(run: Run, planned: Mapping[int, Duration], pace: Pace) -> Iterator[tuple[int, Duration]]:
    """Yield by its number what each open step will take, the talk before its stage with the first one."""
    for stage in run.sheet.stages:
        ratio = pace.of(stage.kind).si
        talk = NOTHING if run.hold(stage.id).released_at is not None else talk_time(run.plan, stage)
        for step in run.sheet.steps_of(stage.id):
            if run.is_open(step.number):
                yield step.number, planned[step.number] * ratio + talk
                talk = NOTHING


def _queued(run: Run, left: Mapping[int, Duration]) -> _Queue:
    """Return how the floor goes on while one deck crew works ahead of it, in the order of the need."""
    floor_s = deck_s = 0.0
    waits: list[Wait] = []
    ahead: Duration | None = None
    seen: set[int] = set()
    for step in run.sheet.lane(Lane.FLOOR):
        if not run.is_open(step.number):
            continue
        needed = [number for number in run.open_needs(step) if number not in seen]
        seen.update(needed)
        if needed:
            deck_s += sum(left[number].si for number in needed)
            early = Duration(floor_s - deck_s)
            ahead = early if ahead is None else min(ahead, early)
            if deck_s > floor_s:
                waits.append(Wait(step, Duration(deck_s - floor_s), needed[-1]))
                floor_s = deck_s
        floor_s += left[step.number].si
    rest_s = sum(time.si for number, time in left.items() if number not in seen and _is_deck(run, number))
    return _Queue(Duration(max(floor_s, deck_s + rest_s)), tuple(waits), ahead)


def _is_deck(run: Run, number: int) -> bool:
    return run.sheet.steps[number - 1].lane is Lane.DECK


def _stages(
    run: Run, planned: Mapping[int, Duration], left: Mapping[int, Duration], done: tuple[Worked, ...]
) -> Iterator[StageTime]:
    pieces: dict[str, list[Worked]] = defaultdict(list)
    for piece in done:
        pieces[piece.stage].append(piece)
    for stage in run.sheet.stages:
        numbers = range(stage.first, stage.last + 1)
        yield StageTime(
            stage=stage,
            planned=total(Duration, (planned[number] for number in numbers)) + talk_time(run.plan, stage),
            spent=total(Duration, (piece.took for piece in pieces[stage.id])),
            stood=total(Duration, (piece.stood for piece in pieces[stage.id])),
            left=total(Duration, (left[number] for number in numbers if number in left)),
            done=sum(run.is_done(number) for number in numbers),
            steps=sum(number not in run.not_applicable for number in numbers),
            held=total(Duration, (piece.held for piece in pieces[stage.id])),
        )
