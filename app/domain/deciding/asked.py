"""What a command names, checked: its step, its reason, and whose work it changes."""

from app.domain.crew import SUPERVISOR
from app.domain.events.who import Who
from app.domain.refusals import NotDoneError, ReasonMissingError, RightsError, UnknownStepError
from app.domain.run import Run
from app.domain.sheet import Lane, Step


def step_of(run: Run, number: int) -> Step:
    """Return the step of that number.

    Raises: UnknownStepError.
    """
    step = run.sheet.step(number)
    if step is None:
        raise UnknownStepError(number, len(run.sheet.steps))
    return step


def step_or_run(run: Run, number: int) -> None:
    """Pass where the number is 0, for the run, or that of a step.

    Raises: UnknownStepError.
    """
    if number != 0:
        step_of(run, number)


def finished_step(run: Run, number: int) -> Step:
    """Return a step that is done.

    Raises: UnknownStepError; NotDoneError.
    """
    step = step_of(run, number)
    if not run.is_done(number):
        raise NotDoneError(number)
    return step


def ticked_step(run: Run, number: int) -> Step:
    """Return a step that is done, or waits for its second reading.

    Raises: UnknownStepError; NotDoneError.
    """
    return step_of(run, number) if number in run.waiting else finished_step(run, number)


def own_or_supervisor(run: Run, step: Step, who: Who, act: str) -> None:
    """Pass where a ticked step was done by the person himself, or he is the supervisor.

    Raises: RightsError.
    """
    done = run.done.get(step.number) or run.waiting[step.number]
    if who.role != SUPERVISOR and who.person_id != done.who.person_id:
        raise RightsError(who.name, who.role, f"{act} step {step.number} of somebody else", (SUPERVISOR,))


def reason_of(text: str, act: str) -> str:
    """Return a reason without the space round it.

    Raises: ReasonMissingError where there is none.
    """
    if not text.strip():
        raise ReasonMissingError(act)
    return text.strip()


def resting_on(run: Run, step: Step) -> int:
    """Return the last step ticked that rests on one: what needs it on deck, or what is above it; else 0."""
    ticked = (*run.done, *run.waiting)
    if step.lane is Lane.DECK:
        needing = (number for number in ticked if step.number in run.sheet.steps[number - 1].needs)
    else:
        needing = (
            number
            for number in ticked
            if number > step.number and run.sheet.steps[number - 1].lane is Lane.FLOOR
        )
    return max(needing, default=0)
