"""Close-out: what is still missing, the final signatures, the end of the run."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from app.domain.at_step.counts import ItemCount, gear_at, items_of
from app.domain.commands import CloseRun, SignRun
from app.domain.crew import COMPANY_REPRESENTATIVE, SUPERVISOR
from app.domain.events.closing import RunClosed, RunSigned
from app.domain.events.event import Event
from app.domain.events.who import Who
from app.domain.problems import Problem, stop
from app.domain.refusals import CloseOutError
from app.domain.run import Run
from app.domain.sheet import GearMove

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


@dataclass(frozen=True, slots=True)
class OpenEnd:
    """Something that stands between the run and its final signatures, and where it is put right.

    That is at a step, a stage or a deviation; 0 and empty where it is at none of them.
    """

    problem: Problem
    step: int = 0
    stage: str = ""
    deviation: int = 0


def missing(run: Run) -> tuple[Problem, ...]:
    """Return everything that stands between the run and its final signatures."""
    return tuple(end.problem for end in open_ends(run))


def open_ends(run: Run) -> tuple[OpenEnd, ...]:
    """Return everything that stands between the run and its final signatures, with its place."""
    return (
        *_standing_still(run),
        *_handing_over(run),
        *_open_steps(run),
        *_open_holds(run),
        *_open_deviations(run),
        *_gear_left(run),
        *_serials_left(run),
        *_items_left(run),
    )


def uncounted(run: Run) -> tuple[ItemCount, ...]:
    """Return the items of which what came is not what was fitted, returned and rejected.

    Those with serials that are not accounted for are told by their serials.
    """
    by_serial = Counter(run.load_out[serial] for serial in unsettled_serials(run))
    return tuple(
        count
        for count in items_of(run)
        if count.on_deck is not None and count.on_deck != by_serial[count.item]
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


def _standing_still(run: Run) -> Iterator[OpenEnd]:
    if run.on_hold is not None:
        yield OpenEnd(
            stop("on-hold", "run", f"Work is on hold ({run.on_hold.in_words}). Go on with it first.")
        )


def _handing_over(run: Run) -> Iterator[OpenEnd]:
    if run.handing_over is not None:
        text = "The run is being handed over. Accept the handover, or take it back."
        yield OpenEnd(stop("handing-over", "run", text))


def _open_steps(run: Run) -> Iterator[OpenEnd]:
    still_open = [step for step in run.sheet.steps if run.is_open(step.number)]
    if still_open:
        first = still_open[0].number
        text = f"{len(still_open)} steps are not done, the first is step {first}. Do them."
        yield OpenEnd(stop("steps-open", f"step {first}", text), step=first)


def _open_holds(run: Run) -> Iterator[OpenEnd]:
    for stage in run.sheet.stages:
        if stage.hold_point is not None and run.hold(stage.id).released_at is None:
            text = f"'{stage.hold_point.title}' is not signed. Sign it."
            yield OpenEnd(stop("hold-point-open", f"stage {stage.title}", text), stage=stage.id)


def _open_deviations(run: Run) -> Iterator[OpenEnd]:
    for item in run.open_deviations():
        number = item.raised.number
        text = f"Deviation {number} is open. Settle it with a reason."
        yield OpenEnd(stop("deviation-open", f"deviation {number}", text), deviation=number)


def _gear_left(run: Run) -> Iterator[OpenEnd]:
    for item, (on, off) in gear_counts(run).items():
        if on != off:
            text = f"{item} went on {on} and came off {off} times. Find the rest."
            yield OpenEnd(stop("gear-left", f"gear {item}", text), step=_last_with(run, item))


def _last_with(run: Run, item: str) -> int:
    """Return the last step done that put a piece of gear on or took it off."""
    return max(number for number in run.done if any(move.item == item for move in _moves(run, number)))


def _moves(run: Run, number: int) -> tuple[GearMove, ...]:
    return run.sheet.steps[number - 1].gear


def _serials_left(run: Run) -> Iterator[OpenEnd]:
    left = unsettled_serials(run)
    if left:
        listed = ", ".join(left[:6]) + (" ..." if len(left) > 6 else "")
        text = (
            f"{len(left)} serials are neither in the well nor accounted for: {listed}. "
            "Say that they went back."
        )
        yield OpenEnd(stop("serials-left", "load-out list", text))


def _items_left(run: Run) -> Iterator[OpenEnd]:
    for count in uncounted(run):
        text = (
            f"{count.issued} were issued, {count.fitted} are fitted, {count.returned} went back, "
            f"{count.rejected} were rejected. Count what is left, and say where it went."
        )
        yield OpenEnd(stop("items-left", count.item, text))
