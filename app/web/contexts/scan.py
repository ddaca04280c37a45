"""The page that reads a serial by the camera: for which field of which form, and where one goes back to."""

from dataclasses import dataclass
from typing import ClassVar
from urllib.parse import quote

from app.domain.refusals import UnknownStepError
from app.domain.run import Run
from app.domain.second_readings import asked_twice
from app.domain.sheet import ReadingKind, Step
from app.domain.swaps import swappable
from app.web.contexts.frame import Frame, NoSuchPageError
from app.web.contexts.runs import RunBar, run_bar


@dataclass(frozen=True, slots=True)
class Target:
    """The field that a serial is read for: its name in the form sent to `action`; `back` shows that form.

    `wanted` is what the load-out list calls the thing, `at` the step or place in words.
    """

    action: str
    field: str
    back: str
    wanted: str
    at: str


@dataclass(frozen=True, slots=True)
class ScanPage:
    """The camera's picture, and what was read in it, to be taken over into one field."""

    PAGE: ClassVar[str] = "scan/scan.html"
    PART: ClassVar[str] = "scan/_scan.html"

    frame: Frame
    bar: RunBar
    target: Target


def scan_of_reading(frame: Frame, run: Run, number: int, at: int, *, from_run: bool) -> ScanPage:
    """Return the page that reads one serial of a step, and goes back to the page of the run or of the step.

    Raises: UnknownStepError; NoSuchPageError where the step asks for no serial there, or asks no more.
    """
    step = run.sheet.step(number)
    if step is None:
        raise UnknownStepError(number, len(run.sheet.steps))
    if not _asks_for_serial(run, step, at):
        raise NoSuchPageError(f"Step {number} asks for no serial there. Go back to the run.")
    path = f"/runs/{run.id}/steps/{number}"
    act = "second" if number in run.waiting else "done"
    target = Target(
        action=f"{path}/{act}",
        field=f"value-{at}",
        back=f"/runs/{run.id}" if from_run else path,
        wanted=step.readings[at].item,
        at=f"step {number}",
    )
    return ScanPage(frame, run_bar(run), target)


def scan_of_swap(frame: Frame, run: Run, place: str) -> ScanPage:
    """Return the page that reads the serial of what comes in the place of another.

    Raises: NoSuchPageError where the sheet has no such place.
    """
    return _of_swap(frame, run, place, "new", _swappable(run, place))


def scan_of_rejected(frame: Frame, run: Run, place: str) -> ScanPage:
    """Return the page that reads the serial of what another comes in the place of.

    Raises: NoSuchPageError where the sheet has no such place.
    """
    return _of_swap(frame, run, place, "old", f"rejected {_swappable(run, place)}")


def scan_of_correction(frame: Frame, run: Run, number: int, at: int) -> ScanPage:
    """Return the page that reads a serial of a step done, which is put right.

    Raises: UnknownStepError; NoSuchPageError where the step has no serial there that can be put right.
    """
    step = run.sheet.step(number)
    if step is None:
        raise UnknownStepError(number, len(run.sheet.steps))
    if run.is_closed or not run.is_done(number) or not _is_serial(step, at):
        raise NoSuchPageError(f"Step {number} has no serial there to be put right. Go back to the run.")
    path = f"/runs/{run.id}/steps/{number}"
    target = Target(
        action=f"{path}/correct/{at}",
        field=f"value-{at}",
        back=f"{path}#correct-{at}-value",
        wanted=step.readings[at].item,
        at=f"the correction of step {number}",
    )
    return ScanPage(frame, run_bar(run), target)


def _of_swap(frame: Frame, run: Run, place: str, field: str, wanted: str) -> ScanPage:
    path = f"/runs/{run.id}/swaps"
    back = f"{path}?place={quote(place)}"
    return ScanPage(frame, run_bar(run), Target(path, field, back, wanted, f"the swap of {place}"))


def _swappable(run: Run, place: str) -> str:
    """Return what the load-out list calls the thing in a place."""
    found = swappable(run, place)
    if found is None:
        raise NoSuchPageError(f"There is no part or station '{place}'. Choose one from the list of swaps.")
    return found.item or place


def _asks_for_serial(run: Run, step: Step, at: int) -> bool:
    if run.is_done(step.number) or not _is_serial(step, at):
        return False
    return step.number not in run.waiting or step.readings[at].name in asked_twice(run.plan, step)


def _is_serial(step: Step, at: int) -> bool:
    return 0 <= at < len(step.readings) and step.readings[at].kind is ReadingKind.SERIAL
