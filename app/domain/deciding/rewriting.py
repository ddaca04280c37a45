"""The open part of the sheet written anew: a way back, its calling off, a changed plan."""

from dataclasses import fields
from datetime import datetime
from typing import Any

from app.domain.commands import BackOut, CallOffBackOut, Replan
from app.domain.deciding.asked import reason_of
from app.domain.events.event import Event
from app.domain.events.rewriting import BackOutBegun, BackOutCalledOff, BackOutTurned, Replanned
from app.domain.events.who import Who
from app.domain.problems import Problem, Severity, accepting
from app.domain.refusals import BackOutError, ReplanError
from app.domain.rewriting.replanning import difference
from app.domain.rewriting.rewritten import kept_in
from app.domain.run import Run


def back_out(run: Run, command: BackOut, _now: datetime, _who: Who) -> tuple[Event, ...]:
    """Return the way back as begun, or the one that is being walked as turned.

    Raises: BackOutError where something stops it, or the run has moved on since it was worked out;
    ReasonMissingError.
    """
    reason = reason_of(command.reason, "go back")
    if command.deviation and command.deviation not in {item.raised.number for item in run.deviations}:
        raise BackOutError(f"There is no deviation {command.deviation} in this run; choose one of the list.")
    rewritten = command.rewritten
    walked = run.way_back()
    if rewritten.kept != kept_in(run) or rewritten.turns != (walked[-1].event.number if walked else 0):
        raise BackOutError("The run has moved on since this way back was worked out. Look at it again.")
    _nothing_stops(rewritten.problems, BackOutError)
    begun = BackOutBegun(
        number=len(run.rewrites) + 1,
        first=command.first,
        cause=command.cause,
        reason=reason,
        deviation=command.deviation,
        kept=rewritten.kept,
        undone=rewritten.undone,
        back=rewritten.back,
        sheet_content=command.sheet_content,
        meaning=command.meaning,
        shown=command.shown,
    )
    return (BackOutTurned(turns=rewritten.turns, **_fields(begun)) if walked else begun,)


def _fields(begun: BackOutBegun) -> dict[str, Any]:
    return {item.name: getattr(begun, item.name) for item in fields(begun)}


def call_off(run: Run, command: CallOffBackOut, _now: datetime, _who: Who) -> tuple[Event, ...]:
    """Return the way back as called off, or the turn of one, of which nothing is done.

    Raises: BackOutError where there is none, or some of it is done; ReasonMissingError.
    """
    reason = reason_of(command.reason, "call the way back off")
    left = run.way_back_left()
    if not left:
        raise BackOutError("The string is not on its way back, so there is nothing to call off.")
    last = run.way_back()[-1]
    if len(left) != len(last.back) or any(number > last.event.kept for number in run.done):
        raise BackOutError(
            f"The way back is begun, step {left[0]} is next: walk it to its end, or choose another step to "
            "go back to. Behind it the steps stand again."
        )
    return (BackOutCalledOff(last.event.number, reason, command.sheet_content),)


def replan(run: Run, command: Replan, _now: datetime, _who: Who) -> tuple[Event, ...]:
    """Return what remains as planned anew.

    Raises: ReplanError where something stops it, a caution is not accepted, nothing would change, or the
    run has moved on since it was worked out; ReasonMissingError.
    """
    reason = reason_of(command.reason, "plan what remains anew")
    rewritten = command.rewritten
    if rewritten.kept != kept_in(run) or run.way_back_left():
        raise ReplanError("The run has moved on since this was worked out. Look at the difference again.")
    _nothing_stops(rewritten.problems, ReplanError)
    open_cautions = [
        item
        for item in rewritten.problems
        if item.severity is Severity.CAUTION and accepting(item) not in command.accepted
    ]
    if open_cautions:
        raise ReplanError(
            f"{len(open_cautions)} cautions are not accepted yet, the first: {open_cautions[0].text} "
            "Read each and tick it, or mend the plan."
        )
    if difference(run, rewritten).is_none:
        raise ReplanError("Nothing that remains would change. Choose the plan that you changed.")
    return (
        Replanned(
            number=len(run.rewrites) + 1,
            reason=reason,
            plan_name=command.plan_name,
            plan_fingerprint=command.plan_fingerprint,
            plan_content=command.plan_content,
            sheet_content=command.sheet_content,
            kept=rewritten.kept,
            dropped=rewritten.dropped,
            carried=rewritten.carried,
            accepted=tuple(
                accepting(item) for item in rewritten.problems if item.severity is Severity.CAUTION
            ),
            meaning=command.meaning,
            shown=command.shown,
        ),
    )


def _nothing_stops(problems: tuple[Problem, ...], error: type[BackOutError | ReplanError]) -> None:
    stops = [problem for problem in problems if problem.severity is Severity.STOP]
    if stops:
        raise error(f"{len(stops)} findings stop it, the first: {stops[0].where}: {stops[0].text}")
