"""Runs with steps that are set aside, for tests of what comes of them."""

from app.domain.apply import apply
from app.domain.commands import BringForward, DeferStep, SayNotApplicable
from app.domain.events.event import Happened, Work
from app.domain.numbering import first_key
from app.domain.rewriting.bringing_forward import brought_forward
from app.domain.rewriting.putting_off import put_off
from app.domain.run import Run
from tests.domain.job import START, SUPERVISOR, asked, do


def without(run: Run, key: str, reason: str = "no crane here") -> Run:
    """Return the run in which a step was said not to apply."""
    return do(run, SayNotApplicable(number_now(run, key), reason))


def put_off_until(run: Run, number: int, until: int, reason: str = "no test pump yet") -> Run:
    """Return the run in which a step was put off until before another."""
    made = put_off(run, number, until)
    command = DeferStep(number, until, reason, made, "c" * 64, "Later.", "s" * 64)
    for event in asked(run, command):
        at = START.replace(year=2032)
        run = apply(run, Happened(run.sequence + 1, at, SUPERVISOR, event, Work(made.plan, made.sheet)))
    return run


def brought(run: Run, number: int, reason: str = "the pump came") -> Run:
    """Return the run in which a step that was put off was brought forward again."""
    made = brought_forward(run, number)
    command = BringForward(number, reason, made, "d" * 64, "Sooner.", "s" * 64)
    for event in asked(run, command):
        at = START.replace(year=2033)
        run = apply(run, Happened(run.sequence + 1, at, SUPERVISOR, event, Work(made.plan, made.sheet)))
    return run


def number_now(run: Run, key: str) -> int:
    """Return the number of a step where it stands last."""
    return max(step.number for step in run.sheet.steps if first_key(step.key) == key)
