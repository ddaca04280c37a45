"""The sheet of a handover: everything that goes from one supervisor to the next, to be read on paper."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from app.domain.at_step.counts import GearCount, ItemCount, gear_at, items_of
from app.domain.at_step.lost_time import LostTime, lost_by_cause
from app.domain.charge import TakenCharge
from app.domain.cross_check import asked_again
from app.domain.events.who import Who
from app.domain.handover import Handover
from app.domain.interruption import Interruption
from app.domain.run import Done, Run, last_on_floor
from app.domain.sheet import Step
from app.domain.standing import next_on_floor, open_items, people_on

MOST_READINGS = 12
READ_AGAIN = "is read again by the incoming"


@dataclass(frozen=True, slots=True)
class LastReading:
    """A recorded value with its step; one that is to be read again is not told before that is done."""

    step: int
    text: str
    name: str
    value: str
    who: Who
    at: datetime


@dataclass(frozen=True, slots=True)
class HandoverSheet:
    """Where a run stands at a time: steps, open items, the last readings, people and counts.

    `handover` is the one that goes on or went last, none where there was none; `charges` tell every time that
    charge was taken without one.
    """

    run_id: str
    title: str
    well: str
    at: datetime
    done: int
    steps: int
    handover: Handover | None
    charges: tuple[TakenCharge, ...]
    last: Step | None
    current: Step | None
    next: Step | None
    on_hold: Interruption | None
    open_items: tuple[str, ...]
    readings: tuple[LastReading, ...]
    in_charge: Who | None
    people: tuple[Who, ...]
    items: tuple[ItemCount, ...]
    gear: tuple[GearCount, ...]
    lost: tuple[LostTime, ...]


def handover_sheet(run: Run, now: datetime) -> HandoverSheet:
    """Return the sheet of a run as it stands at a time."""
    return HandoverSheet(
        run_id=run.id,
        title=run.plan.job.title,
        well=run.plan.well.name,
        at=now,
        done=len(run.done),
        steps=run.to_be_done,
        handover=run.handovers[-1] if run.handovers else None,
        charges=run.charges,
        last=last_on_floor(run),
        current=run.current(),
        next=next_on_floor(run),
        on_hold=run.on_hold,
        open_items=tuple(item.text for item in open_items(run)),
        readings=tuple(_last_readings(run)),
        in_charge=run.in_charge,
        people=people_on(run),
        items=items_of(run),
        gear=gear_at(run.plan, (run.sheet.steps[number - 1] for number in run.done)),
        lost=lost_by_cause(run, now),
    )


def _last_readings(run: Run) -> Iterator[LastReading]:
    """Yield the values read last, the newest first."""
    told = 0
    unseen = _to_be_read_again(run)
    for done in sorted(run.done.values(), key=_when, reverse=True):
        for taken in done.readings:
            if told == MOST_READINGS:
                return
            told += 1
            secret = (done.step, taken.name) in unseen
            value = READ_AGAIN if secret else f"{taken.value} {taken.unit}".strip()
            text = run.sheet.steps[done.step - 1].text
            yield LastReading(done.step, text, taken.name, value, done.doer, done.ended_at)


def _to_be_read_again(run: Run) -> frozenset[tuple[int, str]]:
    handover = run.handing_over
    if handover is None or handover.checks:
        return frozenset()
    return frozenset((asked.step.number, asked.wanted.name) for asked in asked_again(run, handover))


def _when(done: Done) -> tuple[datetime, int]:
    return done.ended_at, done.step
