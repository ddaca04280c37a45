"""The way back to an earlier step during a run, and forward again from there."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from app.domain.crew import COMPANY_REPRESENTATIVE, SUPERVISOR, HoldPoint, StageKind
from app.domain.numbering import first_key
from app.domain.plan import Plan
from app.domain.problems import Problem, caution
from app.domain.pulling.pull import AGAIN, back_out_sheet, begun_to_undo
from app.domain.refusals import BackOutError
from app.domain.rewriting.composing import Ahead, composed, kept_of, needs_of
from app.domain.rewriting.rewritten import Rewritten, done_in_order, kept_in, proven
from app.domain.run import Run
from app.domain.sheet import Lane, Sheet, Stage, Step
from app.domain.string.simulator import state_after
from app.domain.string.supports import SupportKind

# Common practice: what is talked through before anything comes up again.
TOPICS = (
    "why the string comes back, and what was found",
    "what hangs where now, and what holds it",
    "each support in the order in which it comes off",
    "cables and lines: who frees them, who keeps their tension, what is cut",
    "who is where, and who stops the work",
)


@dataclass(frozen=True, slots=True)
class _From:
    """From where a run goes back: the steps that stood before it did, the sheet whose steps behind number
    `last` they go on with, and the steps of a way back that are walked already, with that one's number and
    the step that it goes to."""

    stood: tuple[Step, ...]
    sheet: Sheet
    last: int
    walked: tuple[Step, ...] = ()
    turns: int = 0
    goes_to: int = 0


def backed_out(run: Run, first: int) -> Rewritten:
    """Return the sheet of a run that goes back to before a step and then runs forward again.

    Where it is on its way back already, what is walked of that stays, and the rest leads to the step that is
    chosen now. A stage that is entered in its middle is talked through with the way back: nobody stands down
    between the two. Every later stage asks for its own signatures again.

    Raises: BackOutError where the step is not one to go back to.
    """
    whence = _whence(run)
    step = _to_go_back_to(run, whence, first)
    at = whence.stood.index(step)
    back = back_out_sheet(run.plan, run.planned, whence.stood, at, whence.walked)
    undone = tuple(item for item in whence.stood[at:] if item.lane is Lane.FLOOR)
    kept = kept_in(run)
    sheet = composed(kept_of(run.planned, kept), _ahead(run, whence, back, undone), run.holds)
    return Rewritten(
        run.plan,
        sheet,
        kept,
        (*_on_slings(run), *proven(run, run.plan, sheet)),
        undone=tuple(item.number for item in undone),
        back=tuple(range(kept + 1, kept + 1 + len(back.steps))),
        turns=whence.turns,
    )


def steps_to_go_back_to(run: Run) -> tuple[Step, ...]:
    """Return the floor steps that a run can go back to, the last first.

    On a way back the first of them is where it can run forward again soonest: the undoing of that step is
    begun. The step to which it goes anyway is left out.
    """
    return _choices(run, _whence(run))


def _whence(run: Run) -> _From:
    chain, standing = run.way_back(), {step.number for step in run.standing()}
    if not chain:
        return _From(_steps(run, standing), run.planned, kept_in(run))
    begun, turned = chain[0], chain[-1]
    back = (number for rewrite in chain for number in rewrite.back if run.is_done(number))
    return _From(
        _steps(run, standing.union(turned.undone)),
        begun.before,
        begun.event.kept,
        _steps(run, back),
        turned.event.number,
        turned.goes_to,
    )


def _steps(run: Run, numbers: Iterable[int]) -> tuple[Step, ...]:
    return tuple(run.planned.steps[number - 1] for number in sorted(numbers))


def _choices(run: Run, whence: _From) -> tuple[Step, ...]:
    begun = begun_to_undo(run.plan, whence.stood, whence.walked)
    reached = reversed(whence.stood[: begun + 1])
    return tuple(step for step in reached if step.lane is Lane.FLOOR and step.number != whence.goes_to)


def _to_go_back_to(run: Run, whence: _From, first: int) -> Step:
    step = run.planned.step(first)
    if step is not None and step in _choices(run, whence):
        return step
    if not whence.turns:
        raise BackOutError(
            f"Step {first} is none to go back to: choose a floor step that is done and was not taken back."
        )
    raise BackOutError(
        f"The string is on its way back, and step {first} is none to turn to: choose a floor step that still "
        "stands, or the one that is being taken back now, and not the one that it goes back to anyway."
    )


def _ahead(run: Run, whence: _From, back: Sheet, undone: tuple[Step, ...]) -> tuple[Ahead, Ahead]:
    again = (*_with_those_set_aside(run, whence, undone), *whence.sheet.steps[whence.last :])
    stage = whence.sheet.stage(undone[0].stage)
    here = _there_and_back(run.plan, back, stage)
    middle = (
        () if stage.first == undone[0].number else tuple(item for item in again if item.stage == stage.id)
    )
    steps = (*back.steps, *(replace(item, stage=here[-1].id) for item in middle))
    needs = needs_of(whence.sheet)
    return Ahead(here, steps, needs), Ahead(whence.sheet.stages, again[len(middle) :], needs)


def _with_those_set_aside(run: Run, whence: _From, undone: tuple[Step, ...]) -> tuple[Step, ...]:
    """Return steps that stand again, with those among and behind them that do not apply, which go on so."""
    last = {first_key(step.key): step.number for step in whence.sheet.steps}
    passed = (
        step
        for step in whence.sheet.steps[undone[0].number : whence.last]
        if step.lane is Lane.FLOOR and step.number in run.not_applicable
    )
    aside = (step for step in passed if last[first_key(step.key)] == step.number)
    return tuple(sorted((*undone, *aside), key=lambda step: step.number))


def _there_and_back(plan: Plan, back: Sheet, again: Stage) -> tuple[Stage, ...]:
    """Return the stages of a way back, the first behind a talk, the last for what is done again at once."""
    last = Stage(f"back-{again.id}", StageKind.PULLING, again.system, f"{AGAIN}{again.title}", None, 0, 0)
    stages = list(back.stages) or [last]
    stages[0] = replace(stages[0], hold_point=_talk(plan, stages[0].hold_point, again.hold_point))
    return tuple(stages)


def _talk(plan: Plan, before_pulling: HoldPoint | None, again: HoldPoint | None) -> HoldPoint:
    """Return the talk before a way back: the plan's own before pulling, else the usual one.

    Whoever signed for the stage that is entered again signs here too.
    """
    crew = {person.role for person in plan.crew}
    signers = tuple(role for role in (SUPERVISOR, COMPANY_REPRESENTATIVE) if role in crew) or (SUPERVISOR,)
    talk = before_pulling or HoldPoint(StageKind.PULLING, "Before coming back", TOPICS, signers)
    if again is None:
        return talk
    return replace(
        talk,
        topics=tuple(dict.fromkeys((*talk.topics, *again.topics))),
        signed_by=tuple(dict.fromkeys((*talk.signed_by, *again.signed_by))),
    )


def _on_slings(run: Run) -> Iterator[Problem]:
    for hanging in state_after(run.plan, done_in_order(run)).hangings():
        if all(support.kind is SupportKind.SLINGS for support in hanging.supports):
            yield caution(
                "back-out-on-slings",
                f"step {run.floor_next}",
                f"{hanging.tag} of the {hanging.leg} hangs on slings alone now. Land it before you talk "
                "where that can be done; else nobody stands under it and the driller stays at the controls.",
            )
