"""The way back to an earlier step during a run, and forward again from there."""

from collections.abc import Iterator
from dataclasses import replace

from app.domain.crew import COMPANY_REPRESENTATIVE, SUPERVISOR, HoldPoint, StageKind
from app.domain.plan import Plan
from app.domain.problems import Problem, caution
from app.domain.pulling.pull import back_out_sheet
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


def backed_out(run: Run, first: int) -> Rewritten:
    """Return the sheet of a run that goes back to before a step and then runs forward again.

    A stage that is entered in its middle is talked through with the way back: nobody stands down between
    the two. Every later stage asks for its own signatures again.

    Raises: BackOutError where the step is not one to go back to, or a way back is still being walked.
    """
    step = _to_go_back_to(run, first)
    standing = run.standing()
    at = standing.index(step)
    back = back_out_sheet(run.plan, run.sheet, standing, at)
    kept = kept_in(run)
    undone = tuple(item for item in standing[at:] if item.lane is Lane.FLOOR)
    again = (*undone, *run.sheet.steps[kept:])
    stage = run.sheet.stage(step.stage)
    here = _there_and_back(run.plan, back, stage)
    middle = () if stage.first == first else tuple(item for item in again if item.stage == stage.id)
    steps = (*back.steps, *(replace(item, stage=here[-1].id) for item in middle))
    needs = needs_of(run.sheet)
    sheet = composed(
        kept_of(run.sheet, kept),
        (Ahead(here, steps, needs), Ahead(run.sheet.stages, again[len(middle) :], needs)),
    )
    return Rewritten(
        run.plan,
        sheet,
        kept,
        (*_on_slings(run), *proven(run, run.plan, sheet)),
        undone=tuple(item.number for item in undone),
        back=tuple(range(kept + 1, kept + 1 + len(back.steps))),
    )


def steps_to_go_back_to(run: Run) -> tuple[Step, ...]:
    """Return the floor steps whose work stands, the last first."""
    return tuple(reversed([step for step in run.standing() if step.lane is Lane.FLOOR]))


def _to_go_back_to(run: Run, first: int) -> Step:
    left = run.way_back_left()
    if left:
        raise BackOutError(
            f"The string is on its way back already: step {left[0]} is next. Walk it to its end, or call it "
            "off where none of it is done; then go further back."
        )
    step = run.sheet.step(first)
    if step is None or step not in steps_to_go_back_to(run):
        raise BackOutError(
            f"Step {first} is none to go back to: choose a floor step that is done and was not taken back."
        )
    return step


def _there_and_back(plan: Plan, back: Sheet, again: Stage) -> tuple[Stage, ...]:
    """Return the stages of a way back, the first behind a talk, the last for what is done again at once."""
    last = Stage(f"back-{again.id}", StageKind.PULLING, again.system, f"Again: {again.title}", None, 0, 0)
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
