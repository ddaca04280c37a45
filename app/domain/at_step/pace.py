"""The pace of a run: what its steps really took, by the times of their ticks, against what was planned."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from app.domain.at_step.lost_time import Standstill, standstills
from app.domain.at_step.planned_time import talk_time
from app.domain.clock_jumps import Jump, jumps_of
from app.domain.crew import StageKind
from app.domain.quantities import Duration, Ratio, total
from app.domain.run import Run
from app.domain.sheet import Lane

# Common practice: a stand longer than this, and than five times what was planned, is not work.
LONGEST_WORK = Duration(30 * 60.0)
LONGEST_RATIO = 5.0
# Fewer planned minutes than this tell no pace of their own.
LEAST_TOLD = Duration(10 * 60.0)
# Ticks that came in one go or long after tell nothing about the work.
SLOWEST_RATIO, QUICKEST_RATIO = 5.0, 0.2
NO_TIME = Duration(0.0)


@dataclass(frozen=True, slots=True)
class Worked:
    """A piece of work that ended: its stage, what was planned, what it took.

    Of what it took, work was `held` for a known cause, and `stood` without one. A talk takes as long as it
    takes, and tells nothing of the pace. `step` is the step that ended, 0 for a talk.
    """

    stage: str
    planned: Duration
    took: Duration
    stood: Duration
    is_talk: bool = False
    held: Duration = NO_TIME
    step: int = 0
    since: datetime | None = None

    @property
    def working(self) -> Duration:
        """Return what of it was work [s]."""
        return self.took - self.stood - self.held


@dataclass(frozen=True, slots=True)
class Pace:
    """How the work goes against the plan: over the whole run, and by kind of stage where enough is done.

    More than one is slower than planned.
    """

    whole: Ratio
    by_kind: Mapping[StageKind, Ratio]

    def of(self, kind: StageKind) -> Ratio:
        """Return the pace of a kind of stage, or that of the whole run [1]."""
        return self.by_kind.get(kind, self.whole)


@dataclass(frozen=True, slots=True)
class _Ended:
    at: datetime
    stage: str
    planned: Duration
    is_talk: bool = False
    step: int = 0


def worked(run: Run, planned: Mapping[int, Duration], lane: Lane) -> tuple[Worked, ...]:
    """Return what each step of a lane and each talk took [s], from the end of the one before it.

    The first piece has nothing before it, and in another the clock was moved, so that nobody can say what
    they took.
    """
    ended = sorted(_ended(run, planned, lane), key=lambda item: item.at)
    # Nothing ends while work stands still, so that a hold that goes on still lies behind the last of them.
    held = standstills(run, ended[-1].at) if ended else ()
    jumps = jumps_of(run)
    return tuple(
        _worked(before, item, held) for before, item in pairwise(ended) if not _jumped(before, item, jumps)
    )


def pace_of(run: Run, done: Iterable[Worked]) -> Pace:
    """Return the pace that work done so far tells."""
    pieces = tuple(piece for piece in done if not piece.is_talk)
    whole = _ratio(pieces) or Ratio(1.0)
    kinds = {stage.id: stage.kind for stage in run.sheet.stages}
    by_kind: dict[StageKind, Ratio] = {}
    for kind in sorted(set(kinds.values())):
        told = _ratio(tuple(piece for piece in pieces if kinds[piece.stage] is kind))
        if told is not None:
            by_kind[kind] = told
    return Pace(whole, by_kind)


def _ended(run: Run, planned: Mapping[int, Duration], lane: Lane) -> Iterable[_Ended]:
    for step in run.sheet.lane(lane):
        done = run.done.get(step.number)
        if done is not None:
            yield _Ended(done.ended_at, step.stage, planned[step.number], step=step.number)
    for stage in run.sheet.stages if lane is Lane.FLOOR else ():
        released_at = run.hold(stage.id).released_at
        if released_at is not None:
            yield _Ended(released_at, stage.id, talk_time(run.plan, stage), is_talk=True)


def _worked(before: _Ended, item: _Ended, standstills: tuple[Standstill, ...]) -> Worked:
    took_s = max((item.at - before.at).total_seconds(), 0.0)
    held = total(Duration, (stood.within(before.at, item.at) for stood in standstills))
    worked_s = took_s - held.si
    longest_s = max(LONGEST_WORK.si, LONGEST_RATIO * item.planned.si)
    stood_s = worked_s - item.planned.si if worked_s > longest_s else 0.0
    return Worked(
        stage=item.stage,
        planned=item.planned,
        took=Duration(took_s),
        stood=Duration(stood_s),
        is_talk=item.is_talk,
        held=held,
        step=item.step,
        since=before.at,
    )


def _jumped(before: _Ended, item: _Ended, jumps: tuple[Jump, ...]) -> bool:
    return any(jump.touches(before.at, item.at) for jump in jumps)


def _ratio(pieces: tuple[Worked, ...]) -> Ratio | None:
    planned_s = sum(piece.planned.si for piece in pieces)
    if planned_s < LEAST_TOLD.si:
        return None
    work_s = sum(piece.working.si for piece in pieces)
    return Ratio(min(max(work_s / planned_s, QUICKEST_RATIO), SLOWEST_RATIO))
