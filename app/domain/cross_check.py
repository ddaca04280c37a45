"""The cross-check of a handover: which recorded values are read again, and whether they agree."""

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass

from app.domain.events.handover import HandoverChecked, ReadAgain
from app.domain.events.steps import Taken
from app.domain.handover import Handover
from app.domain.quantities import QuantityError, quantity
from app.domain.refusals import ReadingError
from app.domain.run import Run
from app.domain.sheet import QUANTITY_OF, ReadingKind, ReadingWanted, Step

MOST_ASKED = 3
# What is lost where a value is rounded to three figures or read in another unit.
SAME_RATIO = 0.005
CURRENT = "step to be done now"


@dataclass(frozen=True, slots=True)
class Asked:
    """A recorded value that is to be read again, under the name of its field; nobody is shown `taken`."""

    step: Step
    wanted: ReadingWanted
    taken: Taken

    @property
    def field(self) -> str:
        """Return the name of the field in which it is typed."""
        return f"{self.step.number} {self.wanted.name}"

    @property
    def is_serial(self) -> bool:
        """Return whether it is a serial, which has no unit."""
        return self.wanted.kind is ReadingKind.SERIAL


def asked_again(run: Run, handover: Handover) -> tuple[Asked, ...]:
    """Return which values of the last stage with readings are read again; of a short one, those before too.

    Which of them cannot be known before the handover is drafted, and stays the same until it ends.
    """
    found: list[Asked] = []
    for stage in reversed(run.sheet.stages):
        found += _recorded(run, stage.id)
        if len(found) >= MOST_ASKED:
            break
    chosen = sorted(found, key=lambda asked: _lot(run, handover, asked))[:MOST_ASKED]
    return tuple(sorted(chosen, key=lambda asked: (asked.step.number, asked.wanted.name)))


def checked(run: Run, handover: Handover, typed: dict[str, tuple[str, str]], current: str) -> HandoverChecked:
    """Return what was typed, by field as value and unit, beside what was recorded.

    Raises: ReadingError where something is missing or is no value of its kind.
    """
    readings = tuple(
        _read_again(asked, *typed.get(asked.field, ("", ""))) for asked in asked_again(run, handover)
    )
    step = run.current()
    recorded = str(step.number) if step is not None else "none"
    told = current.strip() or ("" if step is not None else "none")
    if not told:
        raise ReadingError(CURRENT, "Type the number of the step that is to be done now.")
    return HandoverChecked(readings, ReadAgain(0, CURRENT, recorded, told, told.lower() == recorded))


def _recorded(run: Run, stage_id: str) -> Iterator[Asked]:
    gone = run.backed_out | run.ways_back
    for step in run.sheet.steps_of(stage_id):
        done = run.done.get(step.number) if step.number not in gone else None
        taken = {item.name: item for item in done.readings} if done is not None else {}
        for wanted in step.readings:
            if wanted.name in taken:
                yield Asked(step, wanted, taken[wanted.name])


def _lot(run: Run, handover: Handover, asked: Asked) -> bytes:
    told = f"{run.id} {handover.sequence} {asked.step.key} {asked.wanted.name}"
    return hashlib.sha256(told.encode()).digest()


def _read_again(asked: Asked, value: str, unit: str) -> ReadAgain:
    taken, typed = asked.taken, value.strip()
    if not typed:
        raise ReadingError(
            asked.field, f"Read the {taken.name} of step {asked.step.number} again and type it."
        )
    if asked.is_serial:
        agrees = typed.casefold() == taken.value.casefold()
        return ReadAgain(asked.step.number, taken.name, taken.value, typed, agrees)
    try:
        again = quantity(typed, unit or taken.unit, QUANTITY_OF[asked.wanted.kind])
    except QuantityError as error:
        raise ReadingError(asked.field, f"{taken.name}: {error}") from None
    recorded_si = float(taken.si)
    agrees = abs(again.si - recorded_si) <= SAME_RATIO * abs(recorded_si)
    recorded = f"{taken.value} {taken.unit}".strip()
    return ReadAgain(asked.step.number, taken.name, recorded, f"{typed} {unit or taken.unit}".strip(), agrees)
