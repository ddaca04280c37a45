"""Close-out: what is still missing, the final signatures, the end of the run."""

from collections.abc import Iterator
from datetime import datetime

from app.domain.at_step.counts import gear_at
from app.domain.commands import CloseRun, SignRun
from app.domain.crew import COMPANY_REPRESENTATIVE, SUPERVISOR
from app.domain.events.closing import RunClosed, RunSigned
from app.domain.events.event import Event
from app.domain.events.who import Who
from app.domain.problems import Problem, stop
from app.domain.refusals import CloseOutError
from app.domain.run import Run

SIGNED_BY = (SUPERVISOR, COMPANY_REPRESENTATIVE)


def closing_roles(run: Run) -> tuple[str, ...]:
    """Return the roles that sign the finished run: those of SIGNED_BY that the crew has."""
    crew = {person.role for person in run.plan.crew}
    return tuple(role for role in SIGNED_BY if role in crew)


def gear_counts(run: Run) -> dict[str, tuple[int, int]]:
    """Return how often each piece of temporary gear went on and came off in the steps done."""
    done = (run.sheet.steps[number - 1] for number in run.done)
    return {count.item: (count.on, count.off) for count in gear_at(run.plan, done)}


def unsettled_serials(run: Run) -> tuple[str, ...]:
    """Return the serials of the load-out list that are neither in the well nor accounted for."""
    return tuple(
        serial for serial in run.load_out if serial not in run.used_serials and serial not in run.settled
    )


def missing(run: Run) -> tuple[Problem, ...]:
    """Return everything that stands between the run and its final signatures."""
    return (
        *_open_steps(run),
        *_open_holds(run),
        *_open_deviations(run),
        *_gear_left(run),
        *_serials_left(run),
    )


def sign(run: Run, command: SignRun, _now: datetime, who: Who) -> tuple[Event, ...]:
    """Return the signature of a finished run.

    Raises: CloseOutError while anything is missing or the role has signed.
    """
    _complete(run)
    if who.role in {signed.who.role for signed in run.signatures}:
        raise CloseOutError(f"The {who.role} has signed the finished run already.")
    return (RunSigned(command.meaning, command.shown),)


def close(run: Run, command: CloseRun, _now: datetime, _who: Who) -> tuple[Event, ...]:
    """Return the end of the run.

    Raises: CloseOutError while anything or a final signature is missing.
    """
    _complete(run)
    signed = {item.who.role for item in run.signatures}
    open_roles = [role for role in closing_roles(run) if role not in signed]
    if open_roles:
        raise CloseOutError(
            f"Not signed yet by the {' and the '.join(open_roles)}: take their signatures first."
        )
    return (RunClosed(command.note.strip()),)


def _complete(run: Run) -> None:
    problems = missing(run)
    if problems:
        listed = " ".join(f"{problem.where}: {problem.text}" for problem in problems[:3])
        more = f" And {len(problems) - 3} more." if len(problems) > 3 else ""
        raise CloseOutError(f"The run cannot be signed yet. {listed}{more}")


def _open_steps(run: Run) -> Iterator[Problem]:
    still_open = [step for step in run.sheet.steps if run.is_open(step.number)]
    if still_open:
        yield stop(
            "steps-open",
            f"step {still_open[0].number}",
            f"{len(still_open)} steps are not done, the first is step {still_open[0].number}. Do them.",
        )


def _open_holds(run: Run) -> Iterator[Problem]:
    for stage in run.sheet.stages:
        if stage.hold_point is not None and run.hold(stage.id).released_at is None:
            yield stop(
                "hold-point-open",
                f"stage {stage.title}",
                f"'{stage.hold_point.title}' is not signed. Sign it.",
            )


def _open_deviations(run: Run) -> Iterator[Problem]:
    for item in run.open_deviations():
        number = item.raised.number
        yield stop(
            "deviation-open", f"deviation {number}", f"Deviation {number} is open. Settle it with a reason."
        )


def _gear_left(run: Run) -> Iterator[Problem]:
    for item, (on, off) in gear_counts(run).items():
        if on != off:
            yield stop(
                "gear-left", f"gear {item}", f"{item} went on {on} and came off {off} times. Find the rest."
            )


def _serials_left(run: Run) -> Iterator[Problem]:
    left = unsettled_serials(run)
    if left:
        listed = ", ".join(left[:6]) + (" ..." if len(left) > 6 else "")
        yield stop(
            "serials-left",
            "load-out list",
            f"{len(left)} serials are neither in the well nor accounted for: {listed}. "
            "Say that they went back.",
        )
