"""What every page of a run shows at its top, and the page of the run itself."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from app.domain.events.who import Who
from app.domain.figures.subjects.basis import Figure
from app.domain.handover import Handover
from app.domain.interruption import Interruption
from app.domain.rights import RIGHTS
from app.domain.run import Deviation, Run, last_on_floor
from app.domain.sheet import Stage, Step
from app.domain.stage_titles import stage_title
from app.domain.standing import next_on_floor
from app.web.contexts.frame import NO_REFUSAL, Frame, Refusal
from app.web.contexts.set_aside import DeferredView, deferred_view
from app.web.contexts.steps import DoneView, StepView, done_view, no_undo, state_of, step_view


@dataclass(frozen=True, slots=True)
class RunBar:
    """Where a run stands: its stage and state, what is counted, and the hold point that stands in the way.

    `sequence` is the last event that the page shows; `roles` are those that may give a command, by its name,
    where not everybody may.
    """

    run_id: str
    sequence: int
    title: str
    well: str
    stage: str
    done: int
    total: int
    deck_open: int
    deviations: tuple[Deviation, ...]
    hold_stage: str
    hold_title: str
    practice: bool
    closed: bool
    state: str
    on_hold: Interruption | None
    handing_over: Handover | None
    roles: Mapping[str, tuple[str, ...]]
    way_back: int = 0

    def offers(self, act: str, who: Who | None) -> bool:
        """Return whether somebody's role has a command that is not for everybody."""
        return who is not None and who.role in self.roles[act]

    def meant_for(self, act: str) -> str:
        """Return the roles that have such a command, in words."""
        return " or the ".join(self.roles[act])


@dataclass(frozen=True, slots=True)
class StageEnd:
    """A stage of which the last step has just been done, in numbers."""

    title: str
    done: int
    total: int
    not_applicable: int
    deviations: int


@dataclass(frozen=True, slots=True)
class RunPage:
    """The run: the one step to be done now, what was done last, and what comes next; `undo` is the step
    that may be taken back, 0 where none may.
    """

    PAGE: ClassVar[str] = "runs/run.html"
    PART: ClassVar[str] = "runs/_run.html"

    frame: Frame
    bar: RunBar
    step: StepView | None
    last: DoneView | None
    undo: int
    next: Step | None
    next_state: str
    next_deferred: DeferredView | None
    ended: StageEnd | None
    picture: str
    refusal: Refusal


def run_page(
    frame: Frame, run: Run, refusal: Refusal = NO_REFUSAL, standing: tuple[Figure, ...] = ()
) -> RunPage:
    """Return the page of a run as it stands, with the figures outside that its current step depends on."""
    current = run.current()
    last, coming = last_on_floor(run), next_on_floor(run)
    return RunPage(
        frame=frame,
        bar=run_bar(run),
        step=step_view(run, current, frame.who, refusal, standing) if current else None,
        last=done_view(run, last) if last else None,
        undo=last.number if last and not no_undo(run, last, frame.who) else 0,
        next=coming,
        next_state=state_of(run, coming) if coming else "",
        next_deferred=deferred_view(run, coming) if coming else None,
        ended=_stage_end(run, last),
        picture=picture_address(frame, run) if last else "",
        refusal=refusal,
    )


def run_bar(run: Run) -> RunBar:
    """Return the top of every page of a run."""
    current = run.current()
    hold = _hold_ahead(run, current)
    return RunBar(
        run_id=run.id,
        sequence=run.sequence,
        title=run.release.title if run.release else "",
        well=run.release.well if run.release else "",
        stage=stage_title(run, current) if current else "",
        done=len(run.done),
        total=run.to_be_done,
        deck_open=len(run.open_deck_steps()),
        deviations=run.open_deviations(),
        hold_stage=hold.id if hold else "",
        hold_title=hold.hold_point.title if hold and hold.hold_point else "",
        practice=run.is_practice,
        closed=run.is_closed,
        state=run.state.value,
        on_hold=run.on_hold,
        handing_over=run.handing_over,
        roles={act.__name__: right.roles(run) for act, right in RIGHTS.items() if right.roles is not None},
        way_back=len(run.way_back_left()),
    )


def picture_address(frame: Frame, run: Run) -> str:
    """Return the address of the picture as it is now, which no earlier one has."""
    return f"/runs/{run.id}/picture?seen={run.sequence}&units={frame.units.name}"


def _hold_ahead(run: Run, current: Step | None) -> Stage | None:
    return run.holding(current) if current else None


def _is_cut(run: Run, last: Step) -> bool:
    """Return whether a step is the last of its stage only because the rest was written anew behind it."""
    return any(
        rewrite.event.kept == last.number and rewrite.before.stage(last.stage).last != last.number
        for rewrite in run.rewrites
        if not rewrite.called_off
    )


def _stage_end(run: Run, last: Step | None) -> StageEnd | None:
    current = run.current()
    if last is None or (current is not None and current.stage == last.stage) or _is_cut(run, last):
        return None
    steps = run.sheet.steps_of(last.stage)
    numbers = {step.number for step in steps}
    return StageEnd(
        title=stage_title(run, last),
        done=sum(run.is_done(number) for number in numbers),
        total=len(steps),
        not_applicable=sum(number in run.not_applicable for number in numbers),
        deviations=sum(item.raised.step in numbers for item in run.deviations),
    )
