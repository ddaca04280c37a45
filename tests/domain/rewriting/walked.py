"""Runs that go back and on again, for tests of what a rewriting leaves."""

from app.domain.apply import apply
from app.domain.commands import BackOut, CallOffBackOut, Replan
from app.domain.compiler.compile import compile_plan
from app.domain.decide import decide
from app.domain.events.event import Event, Happened, Work
from app.domain.events.rewriting import BackOutCause
from app.domain.plan import Plan
from app.domain.problems import accepting
from app.domain.rewriting.backing_out import backed_out
from app.domain.rewriting.replanning import replanned
from app.domain.rewriting.rewritten import Rewritten
from app.domain.run import Run
from tests.domain.job import START, SUPERVISOR, finish


def going_back(run: Run, first: int) -> Run:
    """Return the run on its way back to before a step."""
    made = backed_out(run, first)
    asked = BackOut(first, BackOutCause.DAMAGE, "bent", 0, made, "c" * 64, "I lead it.", "s" * 64)
    return done(run, asked, made)


def changed_to(run: Run, plan: Plan) -> Run:
    """Return the run with what remains by another plan."""
    made = replanned(run, plan, compile_plan(plan)[0])
    accepted = tuple(accepting(problem) for problem in made.problems)
    return done(run, Replan("changed", "n", "f", "p", made, "c", accepted, "So be it.", "s"), made)


def called_off(run: Run) -> Run:
    """Return the run with its way back called off."""
    before = Rewritten(run.plan, run.way_back()[-1].before, 0, ())
    return done(run, CallOffBackOut("not needed", "c"), before)


def walked_on(run: Run, steps: int) -> Run:
    """Return the run after so many steps more of the floor, or all that are left."""
    for _ in range(steps):
        current = run.current()
        if current is None:
            return run
        run = finish(run, current.number)
    return run


def done(run: Run, command: BackOut | CallOffBackOut | Replan, made: Rewritten) -> Run:
    """Return the run after a rewriting was signed for."""
    now = START.replace(year=2032)
    events: tuple[Event, ...] = decide(run, command, now=now, who=SUPERVISOR)
    for event in events:
        work = Work(made.plan, made.sheet)
        run = apply(run, Happened(run.sequence + 1, now, SUPERVISOR, event, work))
    return run
